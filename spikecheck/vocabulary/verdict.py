"""Pass or review, and why."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError

if TYPE_CHECKING:
    from spikecheck.vocabulary.geometry import Point


class Verdict(StrEnum):
    """The answer. Unsure is review."""

    PASS = "pass"  # noqa: S105  (a verdict, not a password)
    REVIEW = "review"


class ReasonCode(StrEnum):
    """Why a spike needs review, most urgent first; photo problems follow under their own codes."""

    SEVERAL_TAGS = "several_tags"
    TOO_CLOSE_TO_ANTHESIS = "too_close_to_anthesis"
    ANTHER_LEFT = "anther_left"
    ANTHER_OUTSIDE_FLORET = "anther_outside_floret"
    FLORET_NOT_CLIPPED = "floret_not_clipped"
    FLORET_NOT_SEEN = "floret_not_seen"
    UNFAMILIAR = "unfamiliar"
    PART_NOT_READ = "part_not_read"
    RISK_TOO_HIGH = "risk_too_high"
    ONE_FACE_ONLY = "one_face_only"


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason, pointing at what to look at.

    Parameters
    ----------
    code
        A :class:`ReasonCode` or a photo problem's code.
    message
        A sentence for the technician.
    photo
        Index of the photo, or None when it concerns all of them.
    floret
        Id of the floret in that photo, or None.
    place
        Where in that photo, or None.
    """

    code: str
    message: str
    photo: int | None = None
    floret: str | None = None
    place: Point | None = None


@dataclass(frozen=True, slots=True)
class Risk:
    """How likely it is that an anther was left.

    Parameters
    ----------
    p_leftover
        Probability that at least one anther is left on the spike, 0..1.
    expected_selfed_share
        Expected share of selfed seed in the harvest, 0..1, or None when it cannot be said.
    calibrated
        Whether the probabilities were fitted on labelled photos.
    """

    p_leftover: float
    expected_selfed_share: float | None
    calibrated: bool

    def __post_init__(self) -> None:
        if not 0 <= self.p_leftover <= 1:
            raise UsageError(f"p_leftover lies in 0..1, got {self.p_leftover}")
