"""Thermal time of arrays equals that of single moments."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.season import GrowthRange, TemperatureCourse, moment_reached, thermal_time
from spikecheck.season.course import Stretch
from spikecheck.season.cumulative import CumulativeThermalTime, moment_of

WHEAT = GrowthRange(0.0, 30.0)
FIRST = datetime(2026, 5, 1, tzinfo=UTC)
MINUTE = timedelta(minutes=1)

parts = st.lists(
    st.tuples(st.integers(30, 3000), st.floats(-20, 45)), min_size=1, max_size=15
)  # minutes and degrees C
shares = st.floats(0, 1)


def course_of(several):
    stretches, start = [], FIRST
    for minutes, air_c in several:
        end = start + minutes * MINUTE
        stretches.append(Stretch(start, end, air_c, minutes / 1440))
        start = end
    return TemperatureCourse(tuple(stretches))


def moment_at(course, share):
    return course.start + (course.end - course.start) * share


@given(parts, shares, shares)
def test_between_is_thermal_time(several, one, two):
    course = course_of(several)
    start, end = (moment_at(course, share) for share in sorted((one, two)))
    summed = CumulativeThermalTime.of(course, WHEAT)
    assert summed.between(start.timestamp(), end.timestamp()) == pytest.approx(
        thermal_time(course, start, end, WHEAT), abs=1e-6
    )


@given(parts, shares, st.floats(0, 0.999))
def test_reached_is_moment_reached(several, begun, share):
    course = course_of(several)
    start = moment_at(course, begun)
    wanted = share * thermal_time(course, start, course.end, WHEAT)
    there = moment_of(
        float(CumulativeThermalTime.of(course, WHEAT).reached(start.timestamp(), wanted))
    )
    expected = moment_reached(course, start, wanted, WHEAT)
    # Rounding decides on which side of a time without growth the moment falls; both sum to it.
    same = abs(there - expected) < timedelta(seconds=1)
    low, high = sorted((there, expected))
    assert same or thermal_time(course, low, high, WHEAT) < 1e-6


@given(parts, st.floats(0, 200), st.floats(0, 200))
def test_more_is_never_reached_earlier_nor_before_the_start(several, one, two):
    course = course_of(several)
    summed = CumulativeThermalTime.of(course, WHEAT)
    less, more = summed.reached(FIRST.timestamp(), sorted((one, two)))
    assert np.isnan(more) or FIRST.timestamp() <= less <= more


@given(parts, st.floats(0, 10), st.floats(0.1, 300))
def test_a_warmer_course_is_never_later(several, warmer, wanted):
    cool, warm = course_of(several), course_of([(m, min(c + warmer, 59)) for m, c in several])
    late = CumulativeThermalTime.of(cool, WHEAT).reached(FIRST.timestamp(), wanted)
    early = CumulativeThermalTime.of(warm, WHEAT).reached(FIRST.timestamp(), wanted)
    assert np.isnan(late) or early <= late + 1e-3


def test_what_is_not_known_is_nan():
    summed = CumulativeThermalTime.of(course_of([(1440, 10)]), WHEAT)
    day = 86400.0
    first = FIRST.timestamp()
    there = summed.reached(np.array([first - 1, first, first, first + day + 1]), [1, 10, 11, 0])
    assert np.isnan(there).tolist() == [True, False, True, True]
    assert there[1] == pytest.approx(first + day)
    assert np.isnan(summed.between(first - 1, first))
    assert moment_of(float("nan")) is None


def test_the_first_moment_counts_where_nothing_grows():
    summed = CumulativeThermalTime.of(course_of([(1440, 10), (1440, -5), (1440, 10)]), WHEAT)
    first = FIRST.timestamp()
    assert summed.reached(first, 10) == pytest.approx(first + 86400)
    frost = first + 1.5 * 86400
    assert summed.reached(frost, 0) == frost
