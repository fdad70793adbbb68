"""The agenda: one next task for every open spike, when, and what it rests on."""

from __future__ import annotations

import time
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.errors import SeasonError
from spikecheck.season import ThermalClock, WarmthBasis, harvest, receptivity
from spikecheck.season.agenda import TaskKind, TaskState, agenda, grouped
from spikecheck.thresholds.season import load_season_numbers, numbers_with
from spikecheck.vocabulary.verdict import Verdict
from tests.season.spikes import DAY, FIRST, HOUR, NUMBERS, place, spike, spikes

EMASCULATED = FIRST + 12 * HOUR
WARM = {"House 2": place(*[20] * 100, until=FIRST)}
PASSED = {"checked_at": EMASCULATED + HOUR, "verdict": Verdict.PASS}
POLLINATED = PASSED | {"bagged_at": EMASCULATED + 2 * HOUR, "pollinated_at": FIRST + 4 * DAY}


def plan(*records, now=FIRST + 13 * HOUR, courses=WARM, zone=UTC, numbers=None, days=7):
    return agenda(
        records, now=now, courses=courses, numbers=numbers or {"wheat": NUMBERS}, zone=zone,
        days=days,
    )  # fmt: skip


def only(*records, **options):
    (task,) = plan(*records, **options)
    return task


@pytest.mark.parametrize(
    ("what", "kind"),
    [
        ({"emasculated_at": None}, TaskKind.EMASCULATE),
        ({"emasculated_at": None, "selected_at": None}, TaskKind.EMASCULATE),
        ({}, TaskKind.CHECK),
        ({"checked_at": EMASCULATED - HOUR, "verdict": Verdict.PASS}, TaskKind.CHECK),
        (PASSED | {"verdict": Verdict.REVIEW}, TaskKind.GO_BACK),
        (PASSED, TaskKind.BAG),
        (PASSED | {"bagged_at": EMASCULATED + HOUR}, TaskKind.POLLINATE),
        (PASSED | {"bagged_at": EMASCULATED + HOUR, "control": True}, TaskKind.HARVEST),
        (POLLINATED, TaskKind.REBAG),
        (POLLINATED | {"rebagged_at": FIRST + 4 * DAY}, TaskKind.HARVEST),
        (POLLINATED | {"harvested_at": FIRST + 50 * DAY}, TaskKind.THRESH),
    ],
)  # fmt: skip
def test_the_next_step(what, kind):
    assert only(spike(**what)).kind is kind


@pytest.mark.parametrize("ended", ["threshed_at", "given_up_at"])
def test_what_is_done_or_given_up_has_no_task(ended):
    assert plan(spike(**POLLINATED, **{ended: FIRST + 60 * DAY})) == ()


def test_a_check_holds_until_its_thermal_time_is_over_then_asks_for_another():
    """20 degree-days at 20 degrees C: a day; 5 after an anther near anthesis: 6 hours."""
    checked = EMASCULATED + HOUR
    before, after = checked + DAY - HOUR, checked + DAY + HOUR
    task = only(spike(**PASSED), now=before)
    assert (task.kind, task.last) == (TaskKind.BAG, checked + DAY)
    assert task.sentence == "Bag by 2026-05-02 13:00."
    task = only(spike(**PASSED), now=after)
    assert (task.kind, task.state) == (TaskKind.CHECK_AGAIN, TaskState.OVERDUE)
    near = spike(**PASSED, near_anthesis=True)
    assert only(near, now=checked + 5 * HOUR).kind is TaskKind.BAG
    assert only(near, now=checked + 7 * HOUR).kind is TaskKind.CHECK_AGAIN


def test_a_check_in_the_outlook_holds_only_as_long_as_in_warm_days():
    season = place(10, 20, first=date(2026, 4, 29))
    task = only(spike(checked_at=EMASCULATED, verdict=Verdict.PASS), courses={"House 2": season})
    warm_c = season.ahead.air_c + season.ahead.spread_c
    assert (task.last - EMASCULATED) / DAY == pytest.approx(NUMBERS.valid_clean / warm_c)
    assert task.basis is WarmthBasis.OUTLOOK


def test_the_window_for_pollen_is_that_of_receptivity():
    record = spike(**PASSED, bagged_at=EMASCULATED + HOUR)
    task = only(record)
    window = receptivity(record, ThermalClock.of(WARM["House 2"], NUMBERS))
    assert (task.first, task.best, task.last) == (
        window.first.middle, window.best.middle, window.last.middle
    )  # fmt: skip
    assert task.last_early == window.last.early
    assert (task.last_early - EMASCULATED) / DAY == pytest.approx(
        (NUMBERS.receptive_last - NUMBERS.receptive_last_spread) / 20
    )
    assert task.sentence == (
        "Pollinate with Sunno 7: from 2026-05-02, best on 2026-05-04, until 2026-05-09, perhaps "
        "only until 2026-05-05."
    )
    assert (task.day, task.state) == (date(2026, 5, 4), TaskState.THIS_WEEK)


@pytest.mark.parametrize(
    ("days_later", "state", "day"),
    [(0, "later", 4), (3, "today", 4), (5, "today", 6), (9, "overdue", 10)],
)
def test_how_urgent_it_becomes(days_later, state, day):
    record = spike(**PASSED, bagged_at=EMASCULATED + HOUR)
    task = only(record, now=EMASCULATED + days_later * DAY, days=3)
    assert (task.state, task.day) == (state, date(2026, 5, day))


def test_a_bag_is_put_back_the_same_local_day_and_not_when_the_seed_is_ripe():
    record = spike(**POLLINATED)
    zone = ZoneInfo("Europe/Berlin")
    task = only(record, now=FIRST + 4 * DAY + HOUR, zone=zone)
    assert (task.kind, task.state) == (TaskKind.REBAG, TaskState.TODAY)
    assert task.last == datetime(2026, 5, 5, 22, tzinfo=UTC)
    assert only(record, now=FIRST + 6 * DAY, zone=zone).state is TaskState.OVERDUE
    ripe = only(record, now=FIRST + 60 * DAY, zone=zone)
    assert ripe.kind is TaskKind.HARVEST
    assert ripe.best == harvest(record, ThermalClock.of(WARM["House 2"], NUMBERS)).best.middle


@pytest.mark.parametrize("where", ["Field", ""])
def test_without_temperatures_days_are_assumed_and_that_is_said(where):
    record = spike(**PASSED, bagged_at=EMASCULATED + HOUR, place=where)
    task = only(record)
    assert task.basis is WarmthBasis.ASSUMED
    assert (task.best - EMASCULATED) / DAY == pytest.approx(3)
    assert "not known" in task.sentence
    assert "days of 18 °C are assumed." in task.sentence


def test_temperatures_that_begin_too_late_are_not_used():
    late = {"House 2": place(25, 25, first=date(2026, 5, 2))}
    assert only(spike(**PASSED, bagged_at=EMASCULATED), courses=late).basis is WarmthBasis.ASSUMED


def test_the_outlook_is_said():
    record = spike(**PASSED, bagged_at=EMASCULATED + HOUR)
    task = only(record, courses={"House 2": place(16, 18)})
    assert task.basis is WarmthBasis.OUTLOOK
    assert task.sentence.endswith(
        "Temperatures of House 2: known up to 2026-05-03 00:00, then days of 17.0 °C are expected."
    )


def test_what_lies_in_a_gap_is_said_to_be_expected_up_to_the_next_known_day():
    record = spike(**PASSED, bagged_at=EMASCULATED + HOUR)
    task = only(record, courses={"House 2": place(16, 18, *[None] * 20, 12)})
    assert task.sentence.endswith(
        "Temperatures of House 2: known up to 2026-05-03 00:00, then days of 17.0 °C are expected "
        "up to 2026-05-23 00:00."
    )


def test_spikes_of_two_times_without_a_gap_go_by_their_own():
    """20 degree-days: 19.2 hours at 25 degrees C, 40 hours at 12; a gap of 17 days between."""
    courses = {"House 2": place(25, 25, 25, *[None] * 17, 12, 12, 12, until=FIRST + 60 * DAY)}
    early, late = EMASCULATED, EMASCULATED + 20 * DAY
    records = [
        spike(number, emasculated_at=at, checked_at=at, verdict=Verdict.PASS)
        for number, at in ((1, early), (2, late))
    ]
    tasks = {task.spike: task for task in plan(*records, courses=courses, now=FIRST)}
    assert tasks[1].last == early + timedelta(hours=20 * 24 / 25)
    assert tasks[2].last == late + timedelta(hours=20 * 24 / 12)
    assert {task.basis for task in tasks.values()} == {WarmthBasis.MEASURED}


def test_a_time_that_begins_in_a_gap_goes_by_the_days_before_it():
    courses = {"House 2": place(20, 22, 24, *[None] * 17, 12)}
    at = FIRST + 10 * DAY
    task = only(spike(emasculated_at=at, checked_at=at, verdict=Verdict.PASS), courses=courses)
    assert task.basis is WarmthBasis.OUTLOOK
    assert (task.last - at) / DAY == pytest.approx(20 / 24), "the warm end: 22 and 2 more"
    assert "known up to 2026-05-04 00:00" in task.sentence


def test_a_place_with_many_gaps_is_quick():
    """Goal: 0.1 s of processor time for 3,000 spikes; here twice that, since others run too."""
    means = [20 if k % 3 else None for k in range(1, 200)]
    courses = {"House 2": place(*means)}
    records = [
        spike(k % 10 + 1, cross=f"C-{k // 10:03}", emasculated_at=FIRST + k * HOUR,
              checked_at=FIRST + (k + 1) * HOUR, verdict=Verdict.PASS)
        for k in range(3000)
    ]  # fmt: skip

    def seconds():
        start = time.process_time()
        assert len(plan(*records, courses=courses)) == 3000
        return time.process_time() - start

    assert min(seconds() for _ in range(5)) < 0.2


def test_a_users_own_numbers_hold():
    own = {"wheat": numbers_with(NUMBERS, {"receptive_best": 100})}
    record = spike(**PASSED, bagged_at=EMASCULATED + HOUR)
    assert only(record, numbers=own).best == EMASCULATED + 5 * DAY


def test_local_days_hold_where_the_clock_changes():
    """In Germany 29 March 2026 has 23 hours; 20 degrees C all day, pollinated at 23:30."""
    zone = ZoneInfo("Europe/Berlin")
    late = datetime(2026, 3, 29, 23, 30, tzinfo=zone).astimezone(UTC)
    task = only(
        spike(**POLLINATED | {"pollinated_at": late}), now=late + timedelta(minutes=10), zone=zone
    )
    assert task.last == datetime(2026, 3, 30, tzinfo=zone).astimezone(UTC)
    assert (task.day, task.state) == (date(2026, 3, 29), TaskState.TODAY)


def test_a_moment_without_a_zone_is_refused():
    with pytest.raises(SeasonError, match="no time zone"):
        plan(now=datetime(2026, 5, 1))  # noqa: DTZ001


def test_nothing_to_do_is_an_empty_agenda():
    assert plan() == ()
    assert grouped(()) == ()


@given(st.lists(spikes(), max_size=12), st.integers(0, 3000))
@settings(max_examples=60)
def test_every_open_spike_has_one_task_and_its_moments_are_in_order(records, hours):
    tasks = plan(
        *records,
        now=FIRST + hours * HOUR,
        courses={"House 2": place(12, 15, 18), "Field": place(9)},
    )
    open_ones = [one for one in records if one.given_up_at is None and one.threshed_at is None]
    assert sorted((one.cross, one.spike) for one in tasks) == sorted(
        (one.cross, one.spike) for one in open_ones
    )
    for task in tasks:
        known = [one for one in (task.first, task.best, task.last) if one is not None]
        assert known == sorted(known)
        assert task.sentence.rstrip().endswith(".")
        assert (task.day is None) == (task.best is None)
        assert task.day is None or task.day >= (FIRST + hours * HOUR).date()
        assert (task.state is TaskState.OVERDUE) == (
            task.last is not None and task.last < FIRST + hours * HOUR
        )
    assert sum(len(group.tasks) for group in grouped(tasks)) == len(tasks)


def test_an_agenda_of_five_thousand_spikes_is_quick():
    """Goal: 0.1 s of processor time; here twice that, since other tests run beside it."""
    records = [
        spike(k % 10 + 1, cross=f"C-{k // 10:03}", **PASSED, bagged_at=EMASCULATED)
        for k in range(5000)
    ]

    def seconds():
        start = time.process_time()
        assert len(plan(*records)) == 5000
        return time.process_time() - start

    assert min(seconds() for _ in range(5)) < 0.2


def test_a_crop_that_is_not_given_takes_the_shipped_numbers():
    record = spike(**PASSED, bagged_at=EMASCULATED)
    rice = type(record)(
        **{name: getattr(record, name) for name in record.__slots__} | {"crop": "rice"}
    )
    task = only(rice, courses={})
    assert (task.best - EMASCULATED) / DAY == pytest.approx(
        load_season_numbers("rice").receptive_best / 28
    )
