"""A session of practice as it is kept: its photos, when each was shown, answers, decisions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime

    from spikecheck.vocabulary.verdict import Verdict


@dataclass(frozen=True, slots=True)
class DrawnPhoto:
    """A photo drawn for a session.

    Parameters
    ----------
    photo
        SHA-256 of its file, hex.
    source
        ``rendered`` or ``reviewed``.
    truth
        What it shows, as JSON.
    """

    photo: str
    source: str
    truth: str


@dataclass(frozen=True, slots=True)
class GivenAnswer:
    """What a person said of one photo.

    Parameters
    ----------
    verdict
        Pass or review.
    marks
        The marks, as JSON.
    at
        When, UTC.
    """

    verdict: Verdict
    marks: str
    at: datetime


@dataclass(frozen=True, slots=True)
class MadeDecision:
    """What the answers of an attempt came to.

    Parameters
    ----------
    decision
        ``signed off`` or ``more practice``.
    photos, misses
        Photos with leftovers it rests on, and how many of them were missed.
    clean, false_alarms
        Clean photos of the same attempt, and how many of them were sent to review.
    """

    decision: str
    photos: int
    misses: int
    clean: int
    false_alarms: int


@dataclass(frozen=True, slots=True)
class PhotoShown:
    """One photo of a session with what came of it.

    Parameters
    ----------
    position
        Place in the session, from 0.
    drawn
        The photo.
    shown_at
        When it was shown, UTC; several times where it was interrupted.
    answer
        None before it is given.
    decision
        What the answer decided; None as a rule.
    """

    position: int
    drawn: DrawnPhoto
    shown_at: tuple[datetime, ...]
    answer: GivenAnswer | None
    decision: MadeDecision | None


@dataclass(frozen=True, slots=True)
class PracticeSession:
    """One session.

    Parameters
    ----------
    id
        Its number.
    person
        Who practises.
    seed
        What its photos were drawn with.
    numbers
        The numbers of practice in force, as JSON.
    begun_at
        When, UTC.
    photos
        In the order they are shown.
    """

    id: int
    person: str
    seed: int
    numbers: str
    begun_at: datetime
    photos: tuple[PhotoShown, ...]
