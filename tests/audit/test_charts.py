"""The control chart of shares against a published example, scipy, and its laws."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom, norm

from spikecheck.audit.charts import Side, exact_limits, share_chart, usual_limits
from spikecheck.audit.inspections import (
    Count,
    Inspection,
    by_day,
    by_technician,
    days_of_technicians,
)
from spikecheck.audit.spikes import SpikeName
from spikecheck.errors import UsageError
from spikecheck.thresholds.audit import load_audit

# NIST/SEMATECH e-Handbook, 6.3.3.2: faulty chips among 50 on each of 30 wafers (from memory; they
# give its mean of 0.2313).
WAFERS = [
    12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22,
    8, 10, 5, 13, 11, 20, 18, 24, 15, 9, 12, 7, 13, 9, 6,
]  # fmt: skip
shares = st.floats(0.001, 0.999)


def test_the_handbook_wafers():
    """Mean 0.2313, limits 0.4102 and 0.0524; wafers 15 and 23 lie outside."""
    chart = share_chart([Count(str(k), 50, bad) for k, bad in enumerate(WAFERS, start=1)])
    assert chart.estimated
    assert chart.centre == pytest.approx(0.2313, abs=5e-5)
    for point in chart.points:
        assert point.usual.high == pytest.approx(0.4102, abs=5e-5)
        assert point.usual.low == pytest.approx(0.0524, abs=5e-5)
        assert not point.exact_decides
    assert [(point.count.name, point.side) for point in chart.outside] == [
        ("15", Side.ABOVE),
        ("23", Side.ABOVE),
    ]
    assert "15: 22 of 50 spikes were bad; 11.6 were to be expected" in chart.outside[0].sentence
    assert "chance explains 20 at most" in chart.outside[0].sentence


def test_the_shipped_tail_is_that_of_three_standard_deviations():
    numbers = load_audit()
    assert numbers.exact_tail == pytest.approx(norm.sf(numbers.limit_sigmas), abs=5e-6)


@given(shares, st.integers(1, 300), st.floats(1e-4, 0.2))
def test_exact_limits_leave_no_more_than_the_tail_and_are_the_tightest(centre, inspected, tail):
    limits = exact_limits(centre, inspected, tail)
    low, high = round(limits.low * inspected), round(limits.high * inspected)
    drawn = binom(inspected, centre)
    assert drawn.sf(high) <= tail * (1 + 1e-9)
    assert drawn.cdf(low - 1) <= tail * (1 + 1e-9)
    assert high == 0 or drawn.sf(high - 1) > tail * (1 - 1e-9)
    assert low == inspected or drawn.cdf(low) > tail * (1 - 1e-9)


@given(shares, st.integers(1, 300))
def test_limits_hold_the_centre_and_narrow_with_the_sample(centre, inspected):
    limits, wider = usual_limits(centre, 4 * inspected, 3), usual_limits(centre, inspected, 3)
    assert 0 <= wider.low <= limits.low <= centre <= limits.high <= wider.high <= 1


@given(shares)
def test_both_limits_meet_in_large_samples(centre):
    exact, usual = exact_limits(centre, 10**7, 0.00135), usual_limits(centre, 10**7, 3)
    assert exact.low == pytest.approx(usual.low, abs=1e-5)
    assert exact.high == pytest.approx(usual.high, abs=1e-5)


counts = st.builds(
    lambda inspected, share: Count("x", inspected, int(inspected * share)),
    st.integers(1, 80), st.floats(0, 1),
)  # fmt: skip


@given(st.lists(counts, min_size=2, max_size=8))
def test_good_and_bad_mirror_each_other(several):
    """Counting good spikes instead turns the chart upside down."""
    mirror = {Side.ABOVE: Side.BELOW, Side.BELOW: Side.ABOVE, Side.WITHIN: Side.WITHIN}
    turned = [Count(one.name, one.inspected, one.inspected - one.bad) for one in several]
    for point, other in zip(share_chart(several).points, share_chart(turned).points, strict=True):
        assert other.side is mirror[point.side]


def test_a_small_sample_goes_by_the_exact_limits():
    """1 bad of 5 at 2 %: above 3 standard deviations (0.208 of 5 is 1.04), P(1 or more) 0.096."""
    chart = share_chart([Count("Ida", 5, 1), Count("Ole", 5, 3)], centre=0.02)
    assert all(point.exact_decides for point in chart.points)
    assert [point.side for point in chart.points] == [Side.WITHIN, Side.ABOVE]
    assert chart.points[0].exact.high == pytest.approx(2 / 5)
    one_of_two = share_chart([Count("Ida", 2, 1)], centre=0.02).points[0]
    assert one_of_two.usual.high < 0.5  # three standard deviations would have cried wolf
    assert one_of_two.side is Side.WITHIN


def test_a_clean_record_makes_one_bad_spike_stand_out():
    chart = share_chart([Count("Ida", 20, 0), Count("Ole", 20, 1)], centre=0.0)
    assert [point.side for point in chart.points] == [Side.WITHIN, Side.ABOVE]


def test_far_too_few_bad_ones_stand_out_too():
    point = share_chart([Count("Ida", 100, 1)], centre=0.3).points[0]
    assert point.side is Side.BELOW
    assert "overlooked" in point.sentence


def inspection(number, technician, day, *, bad=False):
    return Inspection(SpikeName("C1", number), technician, date(2026, 5, day), bad)


def test_counts_by_technician_and_day():
    found = [
        inspection(1, "Ole", 20), inspection(2, "Ida", 20, bad=True), inspection(3, "Ole", 9),
    ]  # fmt: skip
    assert by_technician(found) == (Count("Ida", 1, 1), Count("Ole", 2, 0))
    assert by_day(found) == (Count("2026-05-09", 1, 0), Count("2026-05-20", 2, 1))
    assert days_of_technicians(found)["Ole"] == (
        Count("2026-05-09", 1, 0),
        Count("2026-05-20", 1, 0),
    )


@pytest.mark.parametrize(("inspected", "bad"), [(0, 0), (5, 6), (5, -1)])
def test_counts_that_cannot_be_are_refused(inspected, bad):
    with pytest.raises(UsageError):
        Count("Ida", inspected, bad)


@pytest.mark.parametrize(
    ("several", "centre"), [([], 0.1), ([Count("Ida", 5, 1)], None), ([Count("Ida", 5, 1)], 1.1)]
)
def test_charts_that_cannot_be_are_refused(several, centre):
    with pytest.raises(UsageError):
        share_chart(several, centre)
