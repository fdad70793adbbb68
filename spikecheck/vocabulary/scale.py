"""How many pixels a millimetre takes."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from spikecheck.errors import UsageError


class ScaleSource(StrEnum):
    """What the scale was taken from."""

    TAG = "tag"
    ESTIMATE = "estimate"


@dataclass(frozen=True, slots=True)
class Scale:
    """Pixels per millimetre at the spike.

    Parameters
    ----------
    px_per_mm
        Best value, px/mm of the full-resolution image.
    source
        What it was taken from.
    low, high
        Bounds between which the true value is expected, px/mm.

    Raises
    ------
    UsageError
        If not ``0 < low <= px_per_mm <= high``.
    """

    px_per_mm: float
    source: ScaleSource
    low: float
    high: float

    def __post_init__(self) -> None:
        if not 0 < self.low <= self.px_per_mm <= self.high:
            raise UsageError(
                "a scale needs 0 < low <= px/mm <= high, "
                f"got {self.low}, {self.px_per_mm}, {self.high}"
            )
