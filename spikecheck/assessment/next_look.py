"""What a reason asks of the technician: to go back to a place, or to take the photo again."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.vocabulary import QualityProblem, ReasonCode

if TYPE_CHECKING:
    from spikecheck.vocabulary import CheckResult, Reason


class NextLook(StrEnum):
    """Where to look next."""

    PLACE = "place"
    """At a place of the spike that the reason points at."""
    PHOTO = "photo"
    """At nothing before the photo is taken again: it cannot tell."""
    OTHER_SIDE = "other_side"
    """At the side that was not photographed."""
    SPIKE = "spike"
    """At the spike as a whole."""


_OF_THE_PHOTO = {
    *(problem.value for problem in QualityProblem),
    ReasonCode.SEVERAL_TAGS.value,
    ReasonCode.UNFAMILIAR.value,
    ReasonCode.PART_NOT_READ.value,
}


def next_look(reason: Reason) -> NextLook:
    """Return what ``reason`` asks for.

    A spike that is not fully prepared asks for a new photo too: the one there shows it as it was
    before it is prepared.
    """
    if reason.code in _OF_THE_PHOTO:
        return NextLook.PHOTO
    if reason.code == ReasonCode.ONE_FACE_ONLY:
        return NextLook.OTHER_SIDE
    if reason.photo is not None and (reason.floret is not None or reason.place is not None):
        return NextLook.PLACE
    return NextLook.SPIKE


def photo_first(result: CheckResult) -> bool:
    """Return whether a photo must be taken again before anything else it shows counts for much.

    So it is where the most urgent reason says so, and where a photo hides florets: what was seen in
    it is as doubtful as the photo itself.
    """
    asking = [reason for reason in result.reasons if next_look(reason) is NextLook.PHOTO]
    if not asking:
        return False
    return asking[0] is result.reasons[0] or any(
        reason.photo is not None and not result.photos[reason.photo].quality.usable
        for reason in asking
    )
