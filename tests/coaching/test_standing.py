"""Sign-off: reached, not reached, under which numbers, told with false alarms."""

from __future__ import annotations

import dataclasses
from datetime import UTC
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest

from spikecheck.coaching import session_chart, standing_of
from spikecheck.coaching.history import decisions_of
from spikecheck.coaching.standing_words import signed_off_words, way_words
from spikecheck.language import Language, in_language
from spikecheck.practice import Decision
from tests.coaching.practice_photos import NUMBERS, Learner, pool_of

if TYPE_CHECKING:
    from spikecheck.store import Store

# Ten finds without a miss sign off (ln(0.05/0.9) / ln(0.7/0.95) is 9.5), two misses at once are
# too many; and sessions are short.
QUICK = dataclasses.replace(
    NUMBERS, session_photos=10.0, leftovers_least=0.49, unacceptable_miss_rate=0.3
)
POOL = pool_of(60, 60)


def test_nothing_yet(store: Store):
    standing = standing_of((), NUMBERS)
    assert (standing.signed_off, standing.sent_back, standing.in_force) == (None, 0, False)
    # ln(0.05 / 0.9) / ln(0.8 / 0.95) is 16.8: seventeen finds and no miss.
    assert standing.at_best == 17
    assert way_words(standing, NUMBERS) == (
        "17 more spikes with a leftover, all found, and you are signed off: about 49 photos."
    )
    assert session_chart((), NUMBERS) is None


def test_signed_off_with_false_alarms_beside_it(store: Store):
    learner = Learner(store, POOL, QUICK)
    learner.practise(1, alarm=True)
    standing = standing_of(learner.coach.progress().sessions, QUICK)
    assert (standing.attempt.photos, standing.attempt.misses, standing.at_best) == (5, 0, 5)
    assert "False alarms: 5 of 5 clean spikes." in way_words(standing, QUICK)
    learner.practise(2)
    sessions = learner.coach.progress().sessions
    (made,) = decisions_of(sessions)
    assert (made.decision, made.numbers) == (Decision.SIGNED_OFF, QUICK)
    assert (made.counts.photos, made.counts.misses) == (10, 0)
    assert made.counts.false_alarms == 5
    assert 5 <= made.counts.clean <= 10
    assert made.at.tzinfo == UTC
    standing = standing_of(sessions, QUICK)
    assert standing.signed_off == made
    assert standing.in_force
    told = signed_off_words(made, ZoneInfo("Europe/Oslo"))
    assert told.startswith("Signed off on 2026-05-03: 0 of 10 spikes with a leftover missed, 5 of ")
    assert "Under this programme's own numbers." in told
    for alarms, clean, caution in ((4, 8, False), (5, 8, True), (0, 0, False)):
        counts = dataclasses.replace(made.counts, false_alarms=alarms, clean=clean)
        told = signed_off_words(dataclasses.replace(made, counts=counts), ZoneInfo("Europe/Oslo"))
        assert ("whoever marks everything misses nothing" in told) is caution
    with in_language(Language.ENGLISH):
        assert "3 May 2026" in signed_off_words(made, ZoneInfo("Europe/Oslo"))


def test_a_sign_off_stands_and_nothing_is_decided_after_it(store: Store):
    learner = Learner(store, POOL, QUICK)
    for seed in range(2):
        learner.practise(seed)
    learner.practise(2, sees=False)
    assert len(decisions_of(learner.coach.progress().sessions)) == 1


def test_other_numbers_need_a_sign_off_of_their_own(store: Store):
    learner = Learner(store, POOL, QUICK)
    for seed in range(2):
        learner.practise(seed)
    stricter = dataclasses.replace(QUICK, acceptable_miss_rate=0.04)
    standing = standing_of(learner.coach.progress().sessions, stricter)
    assert standing.signed_off is not None
    assert not standing.in_force
    assert standing.attempt.photos == 0  # what was answered under other numbers does not count
    later = Learner(store, POOL, stricter, clock=learner.clock)
    later.practise(3)
    assert standing_of(later.coach.progress().sessions, stricter).attempt.photos == 5


def test_more_practice_begins_a_new_attempt(store: Store):
    """Two misses at once are too many: five of five end two attempts and begin a third."""
    learner = Learner(store, POOL, QUICK)
    learner.practise(1, sees=False)
    sessions = learner.coach.progress().sessions
    for made in decisions_of(sessions):
        assert made.decision is Decision.MORE_PRACTICE
        assert made.counts.misses == made.counts.photos == 2
    standing = standing_of(sessions, QUICK)
    assert (standing.signed_off, standing.sent_back) == (None, 2)
    assert (standing.attempt.misses, standing.attempt.photos) == (1, 1)
    assert way_words(standing, QUICK).startswith("2 attempts ended with more practice")


def test_the_curve_tells_finds_and_false_alarms_by_session(store: Store):
    learner = Learner(store, POOL, dataclasses.replace(QUICK, unacceptable_miss_rate=0.5))
    learner.practise(1, sees=False)
    learner.practise(2, alarm=True)
    chart = session_chart(learner.coach.progress().sessions, learner.numbers)
    assert chart.series[0].points == ((1.0, 0.0), (2.0, 1.0))
    assert chart.series[1].points == ((1.0, 0.0), (2.0, 1.0))
    (band,) = chart.bands
    assert band.points[0][1] == pytest.approx(0)
    # Wilson's interval of 5 of 5: 5 / (5 + 1.96^2), Newcombe 1998, Statistics in Medicine 17:857.
    assert band.points[1][1] == pytest.approx(5 / (5 + 1.959964**2), abs=1e-6)
    assert chart.levels[0].y == pytest.approx(0.95)
    assert chart.y_percent
    assert "100 % of the photos with a leftover were found in the last one, 0 % in" in chart.told
