"""Sampling plans against published values, scipy, and the laws of a plan."""

from __future__ import annotations

from itertools import pairwise
from math import comb

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import hypergeom

from spikecheck.audit.sampling import (
    SamplingPlan,
    acceptance,
    most_bad,
    smallest_plan,
)
from spikecheck.errors import UsageError

# NIST/SEMATECH e-Handbook of Statistical Methods, 6.2.3.2 (its tables from memory).
NIST = SamplingPlan(10_000, 52, 3)
NIST_SHARES = [percent / 100 for percent in range(1, 13)]
NIST_ACCEPTED = [
    0.998, 0.980, 0.930, 0.845, 0.739, 0.620, 0.502, 0.394, 0.300, 0.223, 0.162, 0.115,
]  # fmt: skip


@st.composite
def plans(draw, most: int = 60):
    lot = draw(st.integers(1, most))
    sample = draw(st.integers(1, lot))
    return SamplingPlan(lot, sample, draw(st.integers(0, sample - 1)))


def test_a_published_plan_of_68():
    """n = 68, c = 2: risks of 0.05 at 0.01213 and 0.089704 (S. Hilliard 2006, a forum on
    acceptance sampling); of a process, which a lot so large hardly differs from."""
    plan = SamplingPlan(1_000_000, 68, 2)
    assert acceptance(plan, 12_130) == pytest.approx(0.95, abs=1e-4)
    assert acceptance(plan, 89_704) == pytest.approx(0.05, abs=1e-4)


def test_the_handbook_acceptance():
    """It is of a process: drawing 52 of 10,000 without putting back changes it by 6e-4 at most."""
    found = [acceptance(NIST, round(share * NIST.lot)) for share in NIST_SHARES]
    assert found == pytest.approx(NIST_ACCEPTED, abs=0.0015)  # printed with small errors


@pytest.mark.parametrize(
    ("plan", "bad", "passes"),
    [
        (SamplingPlan(20, 5, 0), 2, 0.552632),
        (SamplingPlan(40, 13, 1), 4, 0.608108),
        (SamplingPlan(100, 20, 1), 5, 0.739453),
        (SamplingPlan(200, 32, 1), 10, 0.504019),
    ],
)
def test_small_lots(plan, bad, passes):
    """Reference values worked out apart; counted here by hand as well."""
    assert acceptance(plan, bad) == pytest.approx(passes, abs=5e-7)
    ways = sum(
        comb(bad, found) * comb(plan.lot - bad, plan.sample - found)
        for found in range(plan.accept + 1)
    )
    assert acceptance(plan, bad) == pytest.approx(ways / comb(plan.lot, plan.sample))


@pytest.mark.parametrize(
    ("sample", "accept", "passing", "at_95", "at_10"),
    [
        (13, 0, (0.8775, 0.7195, 0.5882, 0.2542), 0.00394, 0.16232),
        (20, 0, (0.8179, 0.6027, 0.4420, 0.1216), 0.00256, 0.10875),
        (32, 1, (0.9593, 0.8097, 0.6319, 0.1564), 0.01122, 0.11620),
        (50, 1, (0.9106, 0.6435, 0.4005, 0.0338), 0.00715, 0.07558),
        (50, 3, (0.9984, 0.9638, 0.8609, 0.2503), 0.02779, 0.12876),
        (80, 1, (0.8092, 0.4026, 0.1654, 0.0022), 0.00446, 0.04775),
    ],
)
def test_a_huge_lot_follows_the_binomial_curves(sample, accept, passing, at_95, at_10):
    """Reference values worked out apart: acceptance at 1, 2.5, 4 and 10 %, and both risks."""
    plan = SamplingPlan(10_000_000, sample, accept)

    def passes(share: float) -> float:
        return acceptance(plan, round(share * plan.lot))

    assert [passes(share) for share in (0.01, 0.025, 0.04, 0.10)] == pytest.approx(
        passing, abs=6e-5
    )
    # The shares are printed to five decimals.
    assert passes(at_95 - 5e-6) > 0.95 - 2e-5 > passes(at_95 + 5e-6) - 4e-5
    assert passes(at_10 - 5e-6) > 0.10 - 2e-5 > passes(at_10 + 5e-6) - 4e-5


@given(plans(), st.data())
def test_agrees_with_scipy(plan, data):
    bad = data.draw(st.integers(0, plan.lot))
    drawn = hypergeom(plan.lot, bad, plan.sample)
    found = range(plan.accept + 1)
    assert acceptance(plan, bad) == pytest.approx(sum(drawn.pmf(k) for k in found), abs=1e-9)


@settings(max_examples=30)
@given(plans(30))
def test_laws_of_the_curve_of_a_lot(plan):
    curve = [acceptance(plan, bad) for bad in range(plan.lot + 1)]
    assert curve[0] == 1
    assert curve[-1] == 0  # a plan never passes with every spike of its sample bad
    for before, after in pairwise(curve):
        assert after <= before + 1e-9


@settings(max_examples=40)
@given(st.integers(2, 25), st.data())
def test_no_smaller_plan_keeps_both_risks(lot, data):
    consumer_bad = data.draw(st.integers(1, lot))
    producer_bad = data.draw(st.integers(0, consumer_bad - 1))
    risk = data.draw(st.sampled_from([0.01, 0.05, 0.1, 0.3]))

    def keeps(plan: SamplingPlan) -> bool:
        passes, passes_good = (acceptance(plan, bad) for bad in (consumer_bad, producer_bad))
        return passes <= risk + 1e-12 and passes_good >= 1 - risk - 1e-12  # equal is kept

    found = smallest_plan(
        lot, consumer_bad=consumer_bad, consumer_risk=risk,
        producer_bad=producer_bad, producer_risk=risk,
    )  # fmt: skip
    assert keeps(found)
    smaller = (
        SamplingPlan(lot, sample, accept)
        for sample in range(1, found.sample)
        for accept in range(sample)
    )
    assert not any(keeps(plan) for plan in smaller)


def test_a_risk_that_is_met_exactly_is_met():
    """2 bad of 5: none in 3 is 1 of 10 ways. 1 bad of 5 fails a sample of 1 once in 5."""
    assert smallest_plan(5, consumer_bad=2, consumer_risk=0.1) == SamplingPlan(5, 3, 0)
    found = smallest_plan(
        5, consumer_bad=5, consumer_risk=0.05, producer_bad=1, producer_risk=0.2
    )  # fmt: skip
    assert found == SamplingPlan(5, 1, 0)


def test_one_bad_spike_in_a_hundred_is_only_found_by_looking_at_nearly_all():
    assert smallest_plan(100, consumer_bad=1, consumer_risk=0.05) == SamplingPlan(100, 95, 0)
    assert smallest_plan(100, consumer_bad=10, consumer_risk=0.1).sample < 25


@pytest.mark.parametrize(("sample", "limit"), [(20, 0.13911), (59, 0.04951), (100, 0.02951)])
def test_in_a_large_lot_nothing_found_leaves_the_binomial_limit(sample, limit):
    """1 - 0.05 ** (1 / n), the exact one-sided 95 % limit with no event seen; Hanley &
    Lippman-Hand 1983, JAMA 249:1743-1745, give 3 / n for it (from memory)."""
    lot = 20_000
    assert most_bad(lot, sample, 0) / lot == pytest.approx(limit, abs=3e-4)


@given(st.integers(1, 40), st.data(), st.sampled_from([0.5, 0.9, 0.95]))
def test_most_bad_is_the_last_that_chance_explains(lot, data, confidence):
    sample = data.draw(st.integers(1, lot))
    found = data.draw(st.integers(0, sample))
    most = most_bad(lot, sample, found, confidence)
    possible = range(found, lot - (sample - found) + 1)
    explained = [
        bad for bad in possible
        if hypergeom.cdf(found, lot, bad, sample) > 1 - confidence
    ]  # fmt: skip
    assert most == max(explained)
    if sample == lot:
        assert most == found


@settings(max_examples=25)
@given(st.integers(2, 25), st.data())
def test_the_limit_holds_as_often_as_it_says(lot, data):
    """Over all samples from a lot the true number lies within in 95 % at least."""
    sample = data.draw(st.integers(1, lot))
    bad = data.draw(st.integers(0, lot))
    held = sum(
        hypergeom.pmf(found, lot, bad, sample)
        for found in range(max(0, sample - lot + bad), min(bad, sample) + 1)
        if most_bad(lot, sample, found) >= bad
    )
    assert held >= 0.95 - 1e-9


@pytest.mark.parametrize("numbers", [(10, 0, 0), (10, 11, 0), (10, 5, 5), (10, 5, -1), (0, 0, 0)])
def test_plans_that_cannot_be_are_refused(numbers):
    with pytest.raises(UsageError):
        SamplingPlan(*numbers)


@pytest.mark.parametrize(
    "change",
    [
        {"consumer_bad": 0}, {"consumer_bad": 41}, {"consumer_risk": 0}, {"producer_risk": 1},
        {"producer_bad": 4},
    ],
)  # fmt: skip
def test_risks_that_cannot_be_are_refused(change):
    with pytest.raises(UsageError):
        smallest_plan(40, **({"consumer_bad": 4, "consumer_risk": 0.1} | change))


def test_points_that_cannot_be_are_refused():
    plan = SamplingPlan(40, 13, 1)
    for asked in (
        lambda: acceptance(plan, 41),
        lambda: most_bad(40, 41, 0),
        lambda: most_bad(40, 13, 14),
        lambda: most_bad(40, 13, 0, confidence=1),
    ):
        with pytest.raises(UsageError):
            asked()
