"""One person's way through practice, by a clock that the test sets."""

from __future__ import annotations

import dataclasses
from typing import TYPE_CHECKING

import pytest
from scipy.stats import binomtest

from spikecheck.coaching import Coach, Pool, told_last, truth_of
from spikecheck.coaching.history import answers_of, photos_known
from spikecheck.errors import UsageError
from spikecheck.practice import Mark, draw_session
from spikecheck.vocabulary import AntherStage, Verdict
from tests.coaching.practice_photos import NUMBERS, Clock, Learner, pool_of

if TYPE_CHECKING:
    from spikecheck.store import Store

POOL = pool_of(30, 30)
SHORT = dataclasses.replace(NUMBERS, session_photos=6.0)
PASS, REVIEW = Verdict.PASS, Verdict.REVIEW


def test_a_photo_cannot_be_answered_before_its_time(store: Store):
    learner = Learner(store, POOL)
    session = learner.coach.begin(1)
    view = learner.coach.show_next()
    assert (view.position, view.wait_s) == (0, 10)
    learner.clock.on(9.5)
    assert learner.coach.progress().on_view.wait_s == pytest.approx(0.5)
    with pytest.raises(UsageError, match="not looked at long enough"):
        learner.coach.answer(session.id, 0, (), REVIEW)
    learner.clock.on(0.5)
    learner.coach.answer(session.id, 0, (), REVIEW)
    (recorded,) = learner.coach.progress().sessions
    (answer,) = answers_of(recorded)
    assert (answer.seconds, answer.verdict, answer.marks) == (10.0, REVIEW, ())


def test_only_the_photo_on_view_is_answered_and_once(store: Store):
    learner = Learner(store, POOL)
    session = learner.coach.begin(1)
    with pytest.raises(UsageError, match="not the one on view"):
        learner.coach.answer(session.id, 0, (), REVIEW)
    learner.coach.show_next()
    learner.clock.on(60)
    for place in ((session.id, 1), (session.id + 1, 0)):
        with pytest.raises(UsageError, match="not the one on view"):
            learner.coach.answer(*place, (), REVIEW)
    learner.coach.answer(session.id, 0, (), REVIEW)
    with pytest.raises(UsageError, match="not the one on view"):
        learner.coach.answer(session.id, 0, (), PASS)
    assert learner.coach.progress().on_view is None
    assert learner.coach.show_next().position == 1


def test_a_marked_spike_cannot_pass(store: Store):
    learner = Learner(store, POOL)
    session = learner.coach.begin(1)
    learner.coach.show_next()
    learner.clock.on(12)
    with pytest.raises(UsageError, match="cannot pass"):
        learner.coach.answer(session.id, 0, (Mark(1, 1),), PASS)
    assert learner.coach.progress().on_view is not None


def test_the_truth_waits_for_the_answer(store: Store):
    learner = Learner(store, pool_of(3, 3))
    session = learner.coach.begin(1)
    with pytest.raises(UsageError, match="truth is told after the answer"):
        truth_of(session, 0)
    with pytest.raises(UsageError, match="truth is told after the answer"):
        truth_of(session, 99)
    found = learner.practise(1)
    marked = [truth_of(found, position) for position in range(len(found.photos))]
    assert all(one.hit or one.answer.item.clean for one in marked)
    assert not any(one.false_alarm or one.astray for one in marked)


def test_the_truth_of_the_last_answer_is_told_until_a_rest_has_passed(store: Store):
    learner = Learner(store, POOL)
    learner.coach.begin(1)

    def told() -> int | None:
        return told_last(learner.coach.progress(), learner.clock())

    assert told() is None
    learner.answer()
    assert told() == 0
    learner.clock.on(NUMBERS.rest_s)
    assert told() == 0
    learner.clock.on(1)
    assert told() is None
    learner.coach.show_next()
    assert told() is None


def test_a_reload_and_a_killed_server_go_on_where_it_was(store: Store):
    clock = Clock()
    Learner(store, POOL, clock=clock).coach.begin(1)
    learner = Learner(store, POOL, clock=clock)
    learner.answer()
    before = learner.coach.show_next()
    clock.on(4)
    again = Learner(store, POOL, clock=clock)  # knows nothing but what is recorded
    assert again.coach.show_next().position == before.position == 1
    assert again.coach.progress().on_view.wait_s == pytest.approx(6)
    assert again.coach.begin(2).id == before.session.id  # none is drawn beside it


def test_who_comes_back_another_day_looks_at_the_photo_anew(store: Store):
    learner = Learner(store, POOL)
    learner.coach.begin(1)
    learner.coach.show_next()
    learner.clock.on(24 * 3600)
    progress = learner.coach.progress()
    assert progress.on_view is None
    assert progress.upcoming == 0
    assert progress.block.looked_s == 0
    assert learner.coach.show_next().wait_s == 10
    learner.clock.on(11)
    learner.coach.answer(progress.under_way.id, 0, (), REVIEW)
    (session,) = learner.coach.progress().sessions
    assert answers_of(session)[0].seconds == 11


def test_after_twenty_minutes_no_photo_is_shown_until_a_rest(store: Store):
    learner = Learner(store, POOL)
    learner.coach.begin(1)
    for _photo in range(12):
        learner.answer(seconds=100)
    assert learner.coach.progress().block.rest_until is not None
    with pytest.raises(UsageError, match="time for a rest"):
        learner.coach.show_next()
    learner.clock.on(NUMBERS.rest_s - 1)
    with pytest.raises(UsageError, match="time for a rest"):
        learner.coach.show_next()
    learner.clock.on(1)
    assert learner.coach.show_next().position == 12


def test_a_block_goes_on_through_a_second_session(store: Store):
    learner = Learner(store, POOL, SHORT)
    for seed in (1, 2):
        learner.coach.begin(seed)
        for _photo in range(6):
            learner.answer(seconds=100)
    with pytest.raises(UsageError, match="no session is under way"):
        learner.coach.show_next()
    learner.coach.begin(3)
    with pytest.raises(UsageError, match="time for a rest"):
        learner.coach.show_next()


def test_a_session_is_drawn_from_what_is_new_and_by_its_seed(store: Store):
    learner = Learner(store, POOL, SHORT)
    first = learner.practise(5, sees=False)
    items = {photo.item.photo: photo.item for photo in POOL.photos.values()}
    drawn = [photo.drawn.photo for photo in first.photos]
    assert drawn == [one.photo for one in draw_session(items.values(), [], SHORT, seed=5,
                                                       photos_most=6)]  # fmt: skip
    fresh = [item for item in items.values() if item.photo not in photos_known([first])]
    expected = draw_session(fresh, answers_of(first), SHORT, seed=6, photos_most=6)
    second = learner.coach.begin(6)
    assert [photo.drawn.photo for photo in second.photos] == [one.photo for one in expected]
    assert second.seed == 6


def test_where_everything_is_known_it_comes_again_but_does_not_count(store: Store):
    learner = Learner(store, pool_of(3, 3), SHORT)
    learner.practise(1)
    assert len(learner.coach.attempt()) == 6
    learner.practise(2)
    assert len(learner.coach.attempt()) == 6
    assert len(learner.coach.progress().sessions) == 2


def test_photos_that_are_gone_are_passed_over(store: Store):
    learner = Learner(store, pool_of(3, 3), SHORT)
    session = learner.coach.begin(1)
    gone = {session.photos[0].drawn.photo, session.photos[2].drawn.photo}
    rest = Pool({id_: one for id_, one in pool_of(3, 3).photos.items() if id_ not in gone})
    later = Learner(store, rest, SHORT, clock=learner.clock)
    assert later.coach.show_next().position == 1
    for _photo in range(4):
        later.answer()
    assert later.coach.progress().under_way is None


def test_people_do_not_meet(store: Store):
    clock = Clock()
    Learner(store, POOL, SHORT, person=" Ida ", clock=clock).practise(1)
    other = Learner(store, POOL, SHORT, person="Bo", clock=clock)
    assert other.coach.progress().sessions == ()
    session = store.practice.of("Ida")[0]
    with pytest.raises(UsageError, match="not the one on view"):
        other.coach.answer(session.id, 0, (), REVIEW)
    with pytest.raises(UsageError, match="nobody is named"):
        Coach(store, POOL, SHORT, person=" ")


def test_more_of_what_this_person_misses_is_drawn(store: Store):
    """A person who misses every green anther and no yellow one, through what is recorded."""
    stages = (AntherStage.GREEN, AntherStage.YELLOW)
    greens, yellows = (pool_of(40, 0, stage=stage).photos for stage in stages)
    greens = {f"c{id_[1:]}": _renamed(one, f"c{id_[1:]}") for id_, one in greens.items()}
    pool = Pool({**greens, **yellows, **pool_of(0, 60).photos})
    learner = Learner(store, pool)
    for seed in (3, 4):
        for photo in learner.coach.begin(seed).photos:
            item = pool.photos[photo.drawn.photo].item
            learner.answer(sees=item.clean or item.leftovers[0].stage is AntherStage.YELLOW)
    sessions = learner.coach.progress().sessions
    recorded = [answer for session in sessions for answer in answers_of(session)]
    items = [one.item for one in pool.photos.values()]

    def greens_drawn(earlier):
        drawn = [item for seed in range(60) for item in draw_session(items, earlier, NUMBERS,
                 seed=seed, photos_most=20) if not item.clean]  # fmt: skip
        green = sum(item.leftovers[0].stage is AntherStage.GREEN for item in drawn)
        return green, len(drawn)

    assert binomtest(*greens_drawn([]), 0.5).pvalue > 0.001
    assert binomtest(*greens_drawn(recorded), 0.5, alternative="greater").pvalue < 1e-4


def _renamed(photo, id_):
    return dataclasses.replace(photo, item=dataclasses.replace(photo.item, photo=id_))
