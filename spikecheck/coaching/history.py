"""A person's recorded practice as answers that can be scored."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.coaching.numbers import recorded_numbers
from spikecheck.coaching.truth_item import read_item
from spikecheck.errors import UsageError
from spikecheck.practice import Answer, Decision, Look, Mark

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import datetime

    from spikecheck.practice import Item
    from spikecheck.store.practice_session import MadeDecision, PhotoShown, PracticeSession
    from spikecheck.thresholds.practice import PracticeThresholds


@dataclass(frozen=True, slots=True)
class DecisionMade:
    """A decision with when and under which numbers it was reached.

    Parameters
    ----------
    decision
        Signed off, or more practice.
    counts
        What it rests on.
    at
        When, UTC.
    numbers
        The numbers of practice.
    """

    decision: Decision
    counts: MadeDecision
    at: datetime
    numbers: PracticeThresholds


def item_shown(photo: PhotoShown) -> Item:
    """Return what a photo of a session shows.

    Raises
    ------
    UsageError
        If the record is damaged.
    """
    try:
        entry = json.loads(photo.drawn.truth)
    except ValueError as error:
        raise UsageError(f"a photo of practice cannot be read ({error})") from error
    return read_item(photo.drawn.photo, entry)


def answer_given(photo: PhotoShown) -> Answer | None:
    """Return the answer to a photo of a session, or None where none is given yet.

    The time is that since the photo came on view the last time.
    """
    if photo.answer is None:
        return None
    marks = tuple(Mark(row, column) for row, column in json.loads(photo.answer.marks))
    seconds = (photo.answer.at - photo.shown_at[-1]).total_seconds()
    return Answer(item_shown(photo), marks, photo.answer.verdict, max(seconds, 0.0))


def marks_text(marks: Iterable[Mark]) -> str:
    """Return marks as JSON, to a tenth of a pixel."""
    return json.dumps([[round(mark.row, 1), round(mark.column, 1)] for mark in marks])


def answers_of(session: PracticeSession) -> tuple[Answer, ...]:
    """Return the answers of a session, in the order they were given."""
    found = (answer_given(photo) for photo in session.photos)
    return tuple(answer for answer in found if answer is not None)


def decisions_of(sessions: Iterable[PracticeSession]) -> tuple[DecisionMade, ...]:
    """Return every decision, in the order they were made."""
    return tuple(
        DecisionMade(
            Decision(photo.decision.decision), photo.decision, photo.answer.at,
            recorded_numbers(session.numbers),
        )
        for session in sessions
        for photo in session.photos
        if photo.decision is not None and photo.answer is not None
    )  # fmt: skip


def attempt_of(
    sessions: Sequence[PracticeSession], numbers: PracticeThresholds
) -> tuple[Answer, ...]:
    """Return the answers that count for the attempt under way.

    Those given under ``numbers`` since the last decision, to photos whose truth the person had not
    been shown before.

    Parameters
    ----------
    sessions
        Of one person, in the order of beginning.
    numbers
        The numbers in force.
    """
    known: set[str] = set()
    attempt: list[Answer] = []
    for session in sessions:
        counts = recorded_numbers(session.numbers) == numbers
        for photo in session.photos:
            answer = answer_given(photo)
            if answer is None:
                continue
            if counts and photo.drawn.photo not in known:
                attempt.append(answer)
            known.add(photo.drawn.photo)
            if photo.decision is not None:
                attempt.clear()
    return tuple(attempt)


def photos_known(sessions: Iterable[PracticeSession]) -> set[str]:
    """Return the ids of the photos whose truth a person has been shown."""
    return {
        photo.drawn.photo
        for session in sessions
        for photo in session.photos
        if photo.answer is not None
    }


def looks_of(sessions: Iterable[PracticeSession]) -> tuple[Look, ...]:
    """Return when photos were on view, in the order they came on view.

    A photo that was left and opened again was seen for no time the first time: nobody knows how
    long it was looked at.
    """
    looks = [
        Look(begun, begun if again else None if photo.answer is None else photo.answer.at)
        for session in sessions
        for photo in session.photos
        for begun, again in zip(
            photo.shown_at, (*[True] * (len(photo.shown_at) - 1), False), strict=False
        )
    ]
    return tuple(sorted(looks, key=lambda look: look.begun))
