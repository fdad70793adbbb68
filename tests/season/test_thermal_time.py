"""Thermal time against published values, and the laws a sum over time obeys."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import SeasonError
from spikecheck.season import (
    GrowthRange,
    TemperatureCourse,
    moment_reached,
    thermal_time,
)
from spikecheck.vocabulary.temperatures import DailyReading, Reading

WHEAT = GrowthRange(0.0, 30.0)  # FAO X8234E, section 6 (Rawson)
FIRST = datetime(2026, 5, 1, tzinfo=UTC)
HOUR, DAY = timedelta(hours=1), timedelta(days=1)


def days(*extremes, zone=UTC, first=date(2026, 5, 1)):
    readings = [DailyReading(first + k * DAY, *pair) for k, pair in enumerate(extremes)]
    return TemperatureCourse.of_days(readings, zone)


def test_the_worked_example():
    """FAO X8234E: a day of 35 and 15 degrees C brings 25 degree-days above base 0."""
    assert thermal_time(days((15, 35)), FIRST, FIRST + DAY, WHEAT) == pytest.approx(25)


@pytest.mark.parametrize(
    ("air_c", "wait_days"), [(12, 6.7), (15, 5.3), (18, 4.4), (20, 4.0), (25, 3.2)]
)
def test_head_emergence_to_anthesis(air_c, wait_days):
    """80 degree-days (APSIM NG notes, wheat, flowering phase) at a constant temperature."""
    course = TemperatureCourse.constant(air_c, FIRST, FIRST + 10 * DAY)
    there = moment_reached(course, FIRST, 80, WHEAT)
    assert (there - FIRST) / DAY == pytest.approx(wait_days, abs=0.05)


def test_cold_brings_nothing_and_heat_no_more_than_the_upper_temperature():
    course = days((-8, -2), (30, 40), (29, 31))
    assert thermal_time(course, FIRST, FIRST + DAY, WHEAT) == 0
    assert thermal_time(course, FIRST + DAY, FIRST + 2 * DAY, WHEAT) == pytest.approx(30)
    assert thermal_time(course, FIRST + 2 * DAY, FIRST + 3 * DAY, WHEAT) == pytest.approx(30)


def test_a_local_day_counts_one_where_the_clock_changes():
    """Central European summer time began on 29 March 2026: that day has 23 hours."""
    zone = ZoneInfo("Europe/Berlin")
    course = days((5, 15), zone=zone, first=date(2026, 3, 29))
    assert course.end - course.start == 23 * HOUR
    assert thermal_time(course, course.start, course.end, WHEAT) == pytest.approx(10)


def test_a_logger_is_the_trapezoid_between_its_readings():
    readings = [Reading(FIRST + k * HOUR, k) for k in range(25)]
    course = TemperatureCourse.of_readings(readings, gap_most=2 * HOUR)
    assert thermal_time(course, FIRST, FIRST + DAY, WHEAT) == pytest.approx(12)


def test_none_where_it_is_not_reached():
    assert moment_reached(days((10, 10)), FIRST, 10.1, WHEAT) is None
    assert moment_reached(days((10, 10)), FIRST, 10, WHEAT) == FIRST + DAY
    assert moment_reached(days((-9, -9)), FIRST, 0, WHEAT) == FIRST


temperatures = st.lists(st.floats(-20, 45), min_size=1, max_size=12)


@given(temperatures, st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
def test_parts_add_up_and_more_time_never_brings_less(means, one, two, three):
    course = days(*[(mean, mean) for mean in means])
    a, b, c = (course.start + (course.end - course.start) * x for x in sorted((one, two, three)))
    whole = thermal_time(course, a, c, WHEAT)
    assert whole == pytest.approx(
        thermal_time(course, a, b, WHEAT) + thermal_time(course, b, c, WHEAT), abs=1e-6
    )
    assert whole >= thermal_time(course, a, b, WHEAT) - 1e-9


@given(temperatures, st.floats(0, 0.9), st.floats(0, 1))
def test_what_is_reached_then_has_gone_by_then(means, begun, share):
    course = days(*[(mean, mean) for mean in means])
    start = course.start + (course.end - course.start) * begun
    wanted = share * thermal_time(course, start, course.end, WHEAT)
    there = moment_reached(course, start, wanted * (1 - 1e-9), WHEAT)
    assert there is not None
    assert thermal_time(course, start, there, WHEAT) == pytest.approx(wanted, abs=1e-3)


@pytest.mark.parametrize(
    ("made", "said"),
    [
        (lambda: days((20, 10)), "2026-05-01: the lowest temperature 20 is above"),
        (lambda: days((50, 95)), "degrees F"),
        (lambda: days((float("nan"), 9)), "cannot be an air temperature"),
        (days, "too few temperatures"),
        (lambda: TemperatureCourse.constant(18, FIRST, FIRST), "not after the start"),
        (lambda: GrowthRange(30, 30), "not above the base"),
        (lambda: TemperatureCourse.of_days(
            [DailyReading(date(2026, 5, 1), 5, 9), DailyReading(date(2026, 5, 3), 5, 9)], UTC
        ), "2026-05-03 comes after 2026-05-01"),
        (lambda: TemperatureCourse.of_readings(
            [Reading(FIRST, 9), Reading(FIRST + 5 * HOUR, 9)], gap_most=2 * HOUR
        ), "no reading since"),
        (lambda: TemperatureCourse.of_readings(
            [Reading(FIRST, 9), Reading(FIRST, 9)], gap_most=2 * HOUR
        ), "in order of time"),
        (lambda: TemperatureCourse.constant(18, datetime(2026, 5, 1), FIRST), "no time zone"),  # noqa: DTZ001
        (lambda: thermal_time(days((5, 9)), FIRST, FIRST + 2 * DAY, WHEAT), "known from"),
        (lambda: thermal_time(days((5, 9)), FIRST + HOUR, FIRST, WHEAT), "before the start"),
        (lambda: moment_reached(days((5, 9)), FIRST, -1, WHEAT), "cannot be reached"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_one_line(made, said):
    with pytest.raises(SeasonError, match=said):
        made()
