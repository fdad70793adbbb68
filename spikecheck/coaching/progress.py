"""Where a person is in practice, and what may be told of the answers given."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from spikecheck.coaching.history import answer_given
from spikecheck.coaching.numbers import recorded_numbers
from spikecheck.errors import UsageError
from spikecheck.language import _
from spikecheck.practice import compare

if TYPE_CHECKING:
    from datetime import datetime

    from spikecheck.coaching.pool import PoolPhoto
    from spikecheck.practice import Block, MarkedAnswer
    from spikecheck.store.practice_session import PracticeSession


@dataclass(frozen=True, slots=True)
class OnView:
    """The photo that a person has before them.

    Parameters
    ----------
    session
        The session.
    position
        Place of the photo in it, from 0.
    photo
        The photo; its truth is not for showing yet.
    wait_s
        Seconds until it may be answered; 0 when it may.
    """

    session: PracticeSession
    position: int
    photo: PoolPhoto
    wait_s: float


@dataclass(frozen=True, slots=True)
class Progress:
    """Where a person is.

    Parameters
    ----------
    sessions
        All of this person's, in the order of beginning.
    under_way
        The session with photos still to answer, or None.
    upcoming
        Place of its next photo, or None.
    on_view
        The photo that is open now, or None.
    block
        How long the person has looked without a rest.
    """

    sessions: tuple[PracticeSession, ...]
    under_way: PracticeSession | None
    upcoming: int | None
    on_view: OnView | None
    block: Block


def told_last(progress: Progress, now: datetime) -> int | None:
    """Return the place of the photo whose truth comes next, or None where none does.

    It is that of the answer given last in the session under way, so that a page loaded again shows
    it; until another photo is on view, or a rest has passed since.

    Parameters
    ----------
    progress
        Where the person is.
    now
        The moment, with time zone.
    """
    session = progress.under_way
    if session is None or progress.on_view is not None:
        return None
    given = [(photo.answer.at, photo.position) for photo in session.photos if photo.answer]
    if not given:
        return None
    at, position = given[-1]
    news = timedelta(seconds=recorded_numbers(session.numbers).rest_s)
    return position if now - at <= news else None


def truth_of(session: PracticeSession, position: int) -> MarkedAnswer:
    """Return an answer beside the truth, which may be shown now that it is given.

    Raises
    ------
    UsageError
        If it is not answered yet.
    """
    answer = answer_given(session.photos[position]) if position < len(session.photos) else None
    if answer is None:
        raise UsageError(_("the truth is told after the answer"), cure=_("Answer first"))
    return compare(answer, recorded_numbers(session.numbers))
