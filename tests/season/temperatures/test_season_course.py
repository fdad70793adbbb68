"""Sources joined, and continued by an outlook that is told apart."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from statistics import stdev
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import SeasonError
from spikecheck.season import GrowthRange, thermal_time
from spikecheck.season.temperatures import season_course
from spikecheck.thresholds.season import load_season_numbers, numbers_with
from spikecheck.vocabulary.temperatures import Constant, DailyReading, Reading, Recorded

NUMBERS = load_season_numbers("wheat")
RAW = GrowthRange(-90, 60)
FIRST = datetime(2026, 5, 1, tzinfo=UTC)
HOUR, DAY = timedelta(hours=1), timedelta(days=1)
UNTIL = FIRST + 30 * DAY


def days(*means, first=date(2026, 5, 1), recorded=FIRST):
    return Recorded(
        tuple(DailyReading(first + k * DAY, mean, mean) for k, mean in enumerate(means)), recorded
    )


def joined(*sources, until=UNTIL, zone=UTC, numbers=NUMBERS):
    return season_course(sources, until=until, zone=zone, numbers=numbers)


def mean_c(course, start, end):
    return thermal_time(course, start, end, RAW) / ((end - start) / DAY) - 90


def test_the_outlook_is_the_mean_of_the_last_days_and_is_told_apart():
    means = (3, 10, 12, 14, 16, 18, 20, 22)
    season = joined(days(*means))
    assert season.ahead.start == FIRST + 8 * DAY
    assert season.ahead.air_c == pytest.approx(16), "the last seven days"
    assert season.ahead.spread_c == pytest.approx(stdev(means[1:]))
    assert season.course.end == UNTIL
    assert mean_c(season.course, FIRST + 9 * DAY, UNTIL) == pytest.approx(16)
    assert mean_c(season.warm, FIRST + 9 * DAY, UNTIL) == pytest.approx(16 + stdev(means[1:]))
    assert mean_c(season.cold, FIRST + 9 * DAY, UNTIL) == pytest.approx(16 - stdev(means[1:]))
    assert mean_c(season.warm, FIRST, FIRST + 8 * DAY) == pytest.approx(sum(means) / 8)


def test_one_day_tells_no_spread_so_it_is_assumed():
    assert joined(days(12)).ahead.spread_c == NUMBERS.assumed_spread_c


def test_where_all_is_known_there_is_no_outlook():
    season = joined(days(12, 13), until=FIRST + DAY)
    assert season.ahead is None
    assert season.outlooks == ()
    assert season.course == season.warm == season.cold


def test_the_later_recorded_source_holds_over_the_same_time():
    old = days(10, 10, 10, recorded=FIRST)
    new = days(20, first=date(2026, 5, 2), recorded=FIRST + DAY)
    season = joined(new, old)
    assert [one.air_c for one in season.course.stretches][:3] == [10, 20, 10]
    logger = Recorded(
        tuple(Reading(FIRST + 6 * HOUR + k * HOUR, 30) for k in range(7)), FIRST + 2 * DAY
    )
    season = joined(old, new, logger)
    assert mean_c(season.course, FIRST, FIRST + DAY) == pytest.approx(15)
    assert sum(one.days for one in season.course.stretches) == pytest.approx(30)


def test_a_room_held_at_one_temperature_is_known_ahead():
    room = Recorded(Constant(19, FIRST, FIRST + 20 * DAY), FIRST)
    season = joined(room)
    assert season.ahead.start == FIRST + 20 * DAY
    assert season.ahead.air_c == pytest.approx(19)
    assert season.ahead.spread_c == pytest.approx(0, abs=1e-9)


def spans(season):
    return [(one.start, one.end) for one in season.gaps]


def test_a_long_gap_is_as_warm_as_the_days_before_it_and_told_apart():
    season = joined(days(10, 12), days(20, 20, first=date(2026, 5, 15)))
    assert spans(season) == [(FIRST + 2 * DAY, FIRST + 14 * DAY)]
    (gap,) = season.gaps
    assert (gap.air_c, gap.spread_c) == (pytest.approx(11), pytest.approx(stdev((10, 12))))
    assert mean_c(season.warm, gap.start, gap.end) == pytest.approx(gap.air_c + gap.spread_c)
    assert mean_c(season.cold, gap.start, gap.end) == pytest.approx(gap.air_c - gap.spread_c)
    assert mean_c(season.warm, gap.end, gap.end + 2 * DAY) == pytest.approx(20)
    assert (season.course.start, season.course.end) == (FIRST, UNTIL)
    assert season.ahead.air_c == pytest.approx(20), "nothing else is known of the last seven days"


def test_a_short_time_between_two_gaps_is_not_all_an_outlook_rests_on():
    """Two cool hours of a logger that fails do not make the next days cool."""
    night = FIRST + 6 * DAY + 12 * HOUR
    logger = Recorded(tuple(Reading(night + k * HOUR, 4) for k in range(3)), FIRST)
    season = joined(days(25, 26, 27, 28, 29, 30), logger)
    assert spans(season) == [(FIRST + 6 * DAY, night)]
    last = night + 2 * HOUR - 7 * DAY  # before the first day by 10 hours
    assert last < FIRST
    assert season.ahead.air_c == pytest.approx((6 * 24 * 27.5 + 2 * 4) / (6 * 24 + 2))


def test_a_gap_that_is_not_over_yet_has_no_known_end():
    season = joined(days(10, 12))
    assert season.gaps == ()
    assert season.outlooks == (season.ahead,)


def test_a_short_gap_is_bridged_by_the_middle_and_a_longer_one_of_a_logger_is_not():
    first = Recorded(tuple(Reading(FIRST + k * HOUR, 10) for k in range(25)), FIRST)
    second = Recorded(tuple(Reading(FIRST + (27 + k) * HOUR, 20) for k in range(25)), FIRST)
    season = joined(first, second)
    assert season.gaps == ()
    assert mean_c(season.course, FIRST + 24 * HOUR, FIRST + 27 * HOUR) == pytest.approx(15)
    tight = numbers_with(NUMBERS, {"gap_most_h": 2})
    assert spans(joined(first, second, numbers=tight)) == [(FIRST + DAY, FIRST + 27 * HOUR)]


def test_local_days_meet_where_the_clock_changes():
    zone = ZoneInfo("Europe/Berlin")
    season = joined(
        days(10, 10, first=date(2026, 3, 28)), days(20, first=date(2026, 3, 30)), zone=zone,
    )  # fmt: skip
    assert season.gaps == ()
    assert [one.days for one in season.course.stretches[:3]] == [1, 1, 1]


@pytest.mark.parametrize("sources", [(), (Recorded((Reading(FIRST, 9),), FIRST),)])
def test_nothing_or_a_single_reading_is_no_course(sources):
    assert joined(*sources) is None


@pytest.mark.parametrize(
    ("sources", "said"),
    [
        ((days(95),), "cannot be an air temperature"),
        ((Recorded((Reading(FIRST, 9), Reading(FIRST - HOUR, 9)), FIRST),), "in order of time"),
    ],
)
def test_what_cannot_be_is_told(sources, said):
    with pytest.raises(SeasonError, match=said):
        joined(*sources)


rooms_held = st.lists(
    st.tuples(st.integers(0, 400), st.integers(1, 200), st.integers(-5, 35)), min_size=1, max_size=6
)


@given(rooms_held)
def test_of_every_moment_the_last_recorded_source_that_knows_it_holds(several):
    rooms = [
        Recorded(
            Constant(air_c, FIRST + first * HOUR, FIRST + (first + hours) * HOUR), FIRST + k * HOUR
        )
        for k, (first, hours, air_c) in enumerate(several)
    ]
    season = joined(*rooms, until=FIRST)
    course = season.course
    assert all(
        a.end == b.start for a, b in zip(course.stretches, course.stretches[1:], strict=False)
    )
    end = max(first + hours for first, hours, _ in several)
    assert course.end == FIRST + end * HOUR
    for hour in range(round((course.start - FIRST) / HOUR), end):
        known = [air_c for first, hours, air_c in several if first <= hour < first + hours]
        if known:
            here = FIRST + hour * HOUR + HOUR / 2
            stretch = next(one for one in course.stretches if one.start <= here < one.end)
            assert stretch.air_c == known[-1]
