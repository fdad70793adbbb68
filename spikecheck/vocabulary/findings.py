"""What a finder saw in one photo, before anyone judges it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from spikecheck.vocabulary.anther import Anther
    from spikecheck.vocabulary.calibration import Calibration
    from spikecheck.vocabulary.floret import Floret
    from spikecheck.vocabulary.photo import Photo
    from spikecheck.vocabulary.scale import Scale
    from spikecheck.vocabulary.spike import Spike


NETWORK_FREE = "network-free"  # name of the method that needs no network


@dataclass(frozen=True, slots=True)
class ModelIdentity:
    """What looked at the photo: a network, or the network-free method.

    Parameters
    ----------
    name, version
        Name and version of the method.
    sha256
        Hex digest of the network file; for the network-free method, of its thresholds.
    """

    name: str
    version: str
    sha256: str


@dataclass(frozen=True, slots=True)
class Findings:
    """What a finder reports of one photo.

    Parameters
    ----------
    model
        What looked.
    spike
        The spike in focus, or None when none was recognised.
    other_spikes
        How many more spikes of similar size are in the frame.
    scale
        Pixels per millimetre at the spike, or None.
    florets
        Ordered by side, then from base to tip.
    anthers
        Most certain first.
    unexplained
        Share of the spike's length at which the finder recognised neither florets nor bare
        rachis, 0..1: what it could not read.
    unfamiliar
        Whether the photo is unlike those the finder learned from, so that its answers prove
        nothing.
    calibration
        What the finder's probabilities and the pass limit rest on; None when uncalibrated.
    clear
        Whether the finder takes the photo as a whole for sharp and still; False where it does not
        judge that.
    """

    model: ModelIdentity
    spike: Spike | None
    other_spikes: int
    scale: Scale | None
    florets: tuple[Floret, ...]
    anthers: tuple[Anther, ...]
    unexplained: float
    unfamiliar: bool = False
    calibration: Calibration | None = None
    clear: bool = False

    @property
    def marks(self) -> tuple[Anther, ...]:
        """The anthers above the pass limit, or all of a finder that has no limit.

        Those at or below it keep no spike from passing; they are there to be calibrated on.
        """
        if self.calibration is None:
            return self.anthers
        most = self.calibration.pass_score_most
        return tuple(anther for anther in self.anthers if anther.score > most)


class Finder(Protocol):
    """Finds spike, florets and anthers: the network-free method and every network do it alike."""

    @property
    def model(self) -> ModelIdentity:
        """What looks."""

    def find(self, photo: Photo) -> Findings:
        """Look at one photo; never raises on a bad one."""
