"""What is known after a gap changes nothing before it."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.season import ThermalClock, WarmthBasis, harvest, receptivity, valid_until
from spikecheck.season.temperatures import season_course
from spikecheck.vocabulary.temperatures import DailyReading, Recorded
from tests.season.spikes import DAY, FIRST, HOUR, NUMBERS, place, spike

NOVEMBER = datetime(2026, 11, 1, tzinfo=UTC)
FAR = FIRST + 400 * DAY
# Sums over other days add up in another order: a moment may move by the last digit of a float.
ROUNDING = timedelta(milliseconds=1)


def course(days, *later):
    sources = [Recorded(tuple(days), FIRST)]
    sources += [Recorded((one,), FIRST + HOUR) for one in later]
    return season_course(sources, until=FAR, zone=UTC, numbers=NUMBERS)


@pytest.mark.parametrize("low_high", [(2, 8), (20, 30), (30, 44)])
def test_a_day_after_a_gap_leaves_the_deadline_of_an_earlier_spike(low_high):
    """5 degree-days at the 25 of every day since 2 November: 4.8 hours, a day typed ahead or not.

    It once came out 25 minutes later, from assumed days, as soon as a day after a gap was known.
    """
    known = [DailyReading(date(2026, 11, day), 20, 30) for day in (2, 3, 4)]
    at = NOVEMBER + 2 * DAY + 9 * HOUR
    record = spike(emasculated_at=at, checked_at=at, near_anthesis=True)
    ahead = DailyReading(date(2026, 11, 20), *low_high)
    for season in (course(known), course(known, ahead)):
        held = valid_until(record, ThermalClock.since(at, season, NUMBERS))
        assert held.early == held.middle == NOVEMBER + 2 * DAY + 13 * HOUR + HOUR * 0.8
        assert held.basis is WarmthBasis.MEASURED


def test_only_a_time_before_all_that_is_known_goes_by_assumed_days():
    season = place(20, None, None, None, 20)
    for hours, assumed in ((-1, True), (0, False), (23, False), (48, False), (97, False)):
        clock = ThermalClock.since(FIRST + hours * HOUR, season, NUMBERS)
        assert clock.assumed == assumed


def test_heat_that_is_known_after_a_gap_shortens_a_check():
    """Known again after a gap, and warmer than expected: the check holds shorter, not longer."""
    at = FIRST + 12 * HOUR
    record = spike(checked_at=at)
    cool = ThermalClock.since(at, place(10), NUMBERS)
    hot = ThermalClock.since(at, place(10, None, 35), NUMBERS)
    assert valid_until(record, hot).middle < valid_until(record, cool).middle
    assert valid_until(record, hot).basis is WarmthBasis.OUTLOOK


means = st.lists(st.none() | st.floats(-5, 40), min_size=1, max_size=12).filter(
    lambda several: several[0] is not None
)


@given(
    means, st.integers(1, 30), st.lists(st.floats(-5, 40), min_size=1, max_size=5),
    st.integers(0, 300),
)  # fmt: skip
def test_temperatures_after_a_later_gap_change_no_moment_before_them(known, gap, later, hours):
    start = FIRST + hours * HOUR
    record = spike(emasculated_at=start, checked_at=start, pollinated_at=start)
    begins = FIRST + (len(known) + gap) * DAY
    before, after = (
        ThermalClock.since(start, season, NUMBERS)
        for season in (place(*known), place(*known, *[None] * gap, *later))
    )
    for ask in (receptivity, harvest):
        for part in ("first", "best", "last"):
            same_before(
                getattr(ask(record, before), part), getattr(ask(record, after), part), begins
            )
    same_before(valid_until(record, before), valid_until(record, after), begins)


def same_before(one, other, begins):
    for name in ("early", "middle", "late"):
        was, now = getattr(one, name), getattr(other, name)
        if was is not None and was <= begins - ROUNDING:
            assert abs(now - was) <= ROUNDING
    if one.middle is not None and one.middle <= begins:
        assert other.basis is one.basis
