"""Running sums against a published example, scipy, simulation, and their laws."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from spikecheck.audit.cusum import (
    likelihood_cusum,
    likelihood_limit,
    running_sum,
    technician_sums,
    worse_share,
)
from spikecheck.audit.inspections import Count, Inspection
from spikecheck.audit.spikes import SpikeName
from spikecheck.errors import UsageError
from spikecheck.language import Language, day, in_language
from spikecheck.thresholds.audit import load_audit

# NIST/SEMATECH e-Handbook, 6.3.2.3: means of 20 samples, target 325, k 0.3175, h 4.1959 (data and
# sums from memory; the page prints two decimals).
MEANS = [
    324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600,
    324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350,
]  # fmt: skip
HIGH = [
    0, 0, 0, 0, 0.03, 0, 0, 0, 0, 0, 0, 0, 3.01, 4.94, 7.45, 10.63, 11.99, 14.44, 16.00, 19.04,
]  # fmt: skip
LOW = [0, 0.01, 0, 0.33, 0, 0, 0.56, 0.72, 0.17, 0.25, 0.31, 0, *[0] * 8]
values = st.lists(st.floats(-50, 50), max_size=30)
usual = st.floats(0.005, 0.4)
FIRST = date(2026, 5, 4).toordinal()


def test_the_handbook_means():
    """The sums above and below the target are the sum of the charts, fed with measured values."""
    high = list(running_sum(mean - 325 - 0.3175 for mean in MEANS))
    low = list(running_sum(325 - 0.3175 - mean for mean in MEANS))
    assert high == pytest.approx(HIGH, abs=0.0101)
    assert low == pytest.approx(LOW, abs=0.0101)
    assert [one > 4.1959 for one in high] == [False] * 13 + [True] * 7
    assert max(low) < 4.1959


@given(values, st.floats(0, 5))
def test_a_sum_is_the_largest_of_all_stretches_up_to_now(several, allowance):
    """Page's sum: the largest sum of excesses over any last stretch, or 0."""
    for end, total in enumerate(running_sum(v - 1 - allowance for v in several), start=1):
        stretches = [sum(v - 1 - allowance for v in several[k:end]) for k in range(end)]
        assert total == pytest.approx(max(0, *stretches), abs=1e-9)


@given(values)
def test_a_larger_allowance_never_raises_a_sum(several):
    small, large = (running_sum(v - allowance for v in several) for allowance in (0.5, 2))
    for one, other in zip(small, large, strict=True):
        assert other <= one


@st.composite
def days(draw):
    sizes = draw(st.lists(st.integers(1, 20), max_size=15))
    return [
        Count(date.fromordinal(FIRST + k).isoformat(), size, draw(st.integers(0, size)))
        for k, size in enumerate(sizes)
    ]


@given(days(), usual)
def test_the_gain_is_a_ratio_of_binomial_likelihoods(several, share):
    total = 0.0
    for count, point in zip(several, likelihood_cusum(several, share), strict=True):
        gain = binom.logpmf(count.bad, count.inspected, worse_share(share))
        gain -= binom.logpmf(count.bad, count.inspected, share)
        total = max(0.0, total + gain)
        assert point.total == pytest.approx(total, abs=1e-7)
        assert point.alarm is (point.total >= likelihood_limit())


@given(days(), usual)
def test_a_run_counts_what_came_since_the_sum_was_nothing(several, share):
    points = likelihood_cusum(several, share)
    for k, point in enumerate(points):
        first = date.fromisoformat(point.since).toordinal() - FIRST
        run = several[first : k + 1]
        assert point.inspected == sum(count.inspected for count in run)
        assert point.bad == sum(count.bad for count in run)
        assert first == 0 or points[first - 1].total == 0
        assert all(points[j].total > 0 for j in range(first, k))


@given(usual)
def test_the_worse_share_has_the_shipped_ratio_of_odds(share):
    worse = worse_share(share)
    odds = (worse / (1 - worse)) / (share / (1 - share))
    assert odds == pytest.approx(load_audit().worse_odds)


def mean_run(share: float, *, true_share: float, runs: int, most: int) -> float:
    """Spikes until an alarm, one a step, mean over runs; a run cut at ``most`` counts as that."""
    worse, limit = worse_share(share), likelihood_limit()
    for_bad = np.log(worse / share)
    for_good = np.log((1 - worse) / (1 - share))
    random = np.random.default_rng(11)
    total, length = np.zeros(runs), np.full(runs, most)
    for step in range(1, most + 1):
        bad = random.random(runs) < true_share
        total = np.maximum(0, total + np.where(bad, for_bad, for_good))
        length = np.where((length == most) & (total >= limit), step, length)
    return float(length.mean())


def test_false_alarms_are_as_rare_as_promised_and_a_change_is_noticed():
    """Lorden 1971: the mean run is at least the exponential of the limit, here 1,000 spikes."""
    promised = load_audit().spikes_between_false_alarms
    assert mean_run(0.1, true_share=0.1, runs=400, most=4_000) >= promised
    assert mean_run(0.1, true_share=worse_share(0.1), runs=400, most=4_000) < promised / 10


def test_a_technician_who_slips_is_noticed():
    found = [
        Inspection(SpikeName("C1", 10 * day + k), who, date(2026, 5, day), who == "Ole" and k < 4)
        for day in range(10, 16)
        for k in range(10)
        for who in ("Ida", "Ole")
    ]
    sums = technician_sums(found, 0.05)
    assert not any(point.alarm for point in sums["Ida"])
    alarm = next(point for point in sums["Ole"] if point.alarm)
    assert alarm.since == "2026-05-10"
    assert "look for the cause" in alarm.sentence
    assert alarm.sentence.startswith("Since 2026-05-10, ")
    with in_language(Language.SPANISH):
        told = next(point for point in technician_sums(found, 0.05)["Ole"] if point.alarm)
        assert day(date(2026, 5, 10)) in told.sentence
        assert "2026-05-10" not in told.sentence


@pytest.mark.parametrize("share", [0, 1, -0.1])
def test_a_share_that_cannot_be_is_refused(share):
    with pytest.raises(UsageError):
        likelihood_cusum([Count("Ida", 5, 1)], share)
