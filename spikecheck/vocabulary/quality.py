"""What is wrong with a photo, and what the technician can do about it."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.language import N_, _

if TYPE_CHECKING:
    from collections.abc import Mapping


class QualityProblem(StrEnum):
    """Photo problems of the result contract, most fundamental first."""

    NO_SPIKE = "no_spike"
    SEVERAL_SPIKES = "several_spikes"
    TOO_SMALL = "too_small"
    CUT_OFF = "cut_off"
    DARK = "dark"
    OVEREXPOSED = "overexposed"
    DEFOCUS = "defocus"
    MOTION = "motion"
    OCCLUDED = "occluded"
    NOT_PREPARED = "not_prepared"

    @property
    def told(self) -> str:
        """What is wrong and what to do, in English."""
        return _ADVICE[self]

    @property
    def advice(self) -> str:
        """One sentence in the reader's language: what is wrong and what to do."""
        return _(_ADVICE[self])


_ADVICE = {
    QualityProblem.NO_SPIKE: N_(
        "No spike was recognised: hold one spike in the middle of the picture, "
        "against a plain background, and take the photo again."
    ),
    QualityProblem.SEVERAL_SPIKES: N_(
        "More than one spike is in the picture: photograph one spike alone, the others out of view."
    ),
    QualityProblem.TOO_SMALL: N_(
        "The spike is too small in the picture to see an anther: "
        "go closer until the spike fills the length of the frame."
    ),
    QualityProblem.CUT_OFF: N_(
        "The spike runs out of the picture: move back or turn the phone so that all of it is in."
    ),
    QualityProblem.DARK: N_(
        "The spike is too dark: turn it towards the light or take the photo in a brighter place."
    ),
    QualityProblem.OVEREXPOSED: N_(
        "Parts of the spike are burnt out to white: shade it from direct sun or lower the exposure."
    ),
    QualityProblem.DEFOCUS: N_(
        "The spike is out of focus: tap on the spike to focus, keep 10 cm or more away, "
        "and take the photo again."
    ),
    QualityProblem.MOTION: N_(
        "The picture is smeared by movement: rest the hand or the stem, wait for the wind to drop, "
        "and take the photo again."
    ),
    QualityProblem.OCCLUDED: N_(
        "Something lies over the spike: move fingers, tag, leaf or forceps away from the florets."
    ),
    QualityProblem.NOT_PREPARED: N_(
        "The spike is not fully prepared: pull the central florets, clip the tops of the rest, "
        "take out the anthers, then photograph it."
    ),
}


@dataclass(frozen=True, slots=True)
class PhotoQuality:
    """How well one photo can be judged.

    Parameters
    ----------
    usable
        False when a problem hides florets; the verdict is then review.
    problems
        In the order of :class:`QualityProblem`.
    measures
        Named numbers behind the problems; the unit is the end of the name.
    """

    usable: bool
    problems: tuple[QualityProblem, ...]
    measures: Mapping[str, float] = field(default_factory=dict)
