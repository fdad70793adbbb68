"""What a finder's probabilities and its pass limit rest on."""

from __future__ import annotations

from dataclasses import dataclass

from spikecheck.errors import UsageError


@dataclass(frozen=True, slots=True)
class Calibration:
    """The pass limit and the set of photos it was chosen on.

    Parameters
    ----------
    name
        What the set shows, for people: "rendered spikes", "own photos, glasshouse 2".
    pass_score_most
        A spike passes only if no mark and no floret scores above this, 0..1.
    spikes
        Spikes with a visible leftover in the set, the n of the bound.
    passed
        How many of them pass at this limit.
    alpha
        The share of such spikes that was to pass at most, 0..1.
    bound
        What is promised: ``(passed + 1) / (spikes + 1)``, 0..1.
    sha256
        Hex digest of the set.

    Raises
    ------
    UsageError
        If a share is outside 0..1 or the counts do not fit together.
    """

    name: str
    pass_score_most: float
    spikes: int
    passed: int
    alpha: float
    bound: float
    sha256: str

    def __post_init__(self) -> None:
        for name in ("pass_score_most", "alpha", "bound"):
            value = getattr(self, name)
            if not 0 <= value <= 1:
                raise UsageError(f"{name} of a calibration lies in 0..1, got {value}")
        if not 0 <= self.passed <= self.spikes:
            raise UsageError(f"a calibration needs 0 <= passed <= spikes, got {self}")
