"""When a person has seen enough leftovers to check spikes alone.

What is signed off is seeing leftovers among photos of which a fifth to a half have one. Where they
are rarer people miss more (Wolfe, Horowitz & Kenner 2005, Nature 435:439), so a sign-off promises
no miss rate in the field. False alarms do not count here: they cost a second look, no seed. They
stand in :class:`spikecheck.practice.scores.Scores` and belong beside every sign-off.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.practice.answers import compare
from spikecheck.practice.sequential import Decision, SequentialTest

if TYPE_CHECKING:
    from collections.abc import Iterable

    from spikecheck.practice.answers import Answer
    from spikecheck.thresholds.practice import PracticeThresholds


@dataclass(frozen=True, slots=True)
class SignOff:
    """Where a person stands.

    Parameters
    ----------
    decision
        Signed off, not yet, or more practice.
    photos, misses
        On how many photos with leftovers it rests, and how many of them were missed.
    """

    decision: Decision
    photos: int
    misses: int


def sign_off_test(numbers: PracticeThresholds) -> SequentialTest:
    """Return the test that ``numbers`` describe.

    Raises
    ------
    UsageError
        If they contradict each other.
    """
    return SequentialTest(
        acceptable=numbers.acceptable_miss_rate,
        unacceptable=numbers.unacceptable_miss_rate,
        good_sent_back=numbers.good_sent_back,
        poor_signed_off=numbers.poor_signed_off,
    )


def sign_off(answers: Iterable[Answer], numbers: PracticeThresholds) -> SignOff:
    """Return where a person stands after ``answers``.

    A photo with leftovers is missed unless one of them is marked. Only the first answer to a photo
    counts: a photo seen before is remembered. The first decision stands. After *more practice* a
    new attempt begins with the answers that come after it; every attempt has the error rates of
    its own, so many attempts sign off more people than one.

    Parameters
    ----------
    answers
        Of one person and one attempt, in the order they were given.
    numbers
        Thresholds of practice.

    Returns
    -------
    SignOff
        The decision and what it rests on.
    """
    first: dict[str, Answer] = {}
    for answer in answers:
        if not answer.item.clean:
            first.setdefault(answer.item.photo, answer)
    missed = [not compare(answer, numbers).hit for answer in first.values()]
    return SignOff(*sign_off_test(numbers).decide(missed))
