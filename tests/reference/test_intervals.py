"""Binomial intervals against published worked examples and statsmodels."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.proportion import proportion_confint

from spikecheck.intervals import clopper_pearson_interval, upper_limit, wilson_interval

# Newcombe 1998, Statistics in Medicine 17:857-872, Table I (score method without continuity
# correction; Clopper-Pearson), for 95 %. The table itself was not read: the figures are calculated
# from the definitions and agree with memory. 0/60, 1/60, 2/60 are not of that table, calculated.
NEWCOMBE = [
    (81, 263, (0.2553, 0.3662), (0.2527, 0.3676)),
    (15, 148, (0.0624, 0.1605), (0.0578, 0.1617)),
    (0, 20, (0.0000, 0.1611), (0.0000, 0.1684)),
    (1, 29, (0.0061, 0.1718), (0.0009, 0.1776)),
    (0, 60, (0.0000, 0.0602), (0.0000, 0.0596)),
    (1, 60, (0.0029, 0.0886), (0.0004, 0.0894)),
    (2, 60, (0.0092, 0.1136), (0.0041, 0.1153)),
]
ROUNDED = 0.5e-4 + 1e-9


@pytest.mark.parametrize(("events", "trials", "wilson", "exact"), NEWCOMBE)
def test_worked_examples(events, trials, wilson, exact):
    assert wilson_interval(events, trials) == pytest.approx(wilson, abs=ROUNDED)
    assert clopper_pearson_interval(events, trials) == pytest.approx(exact, abs=ROUNDED)


@pytest.mark.parametrize(
    ("trials", "limit"), [(20, 0.13911), (59, 0.04951), (100, 0.02951), (299, 0.00997)]
)
def test_upper_limit_without_events(trials: int, limit: float):
    """``1 - 0.05 ** (1 / n)``, calculated; 3 / n is Hanley & Lippman-Hand 1983 (from memory)."""
    assert upper_limit(0, trials) == pytest.approx(limit, abs=0.5e-5 + 1e-9)
    assert upper_limit(0, trials) == pytest.approx(3 / trials, rel=0.08)


@pytest.mark.parametrize(("florets", "share"), [(59, 0.05), (299, 0.01)])
def test_control_florets_needed_to_show_a_low_selfing_rate(florets: int, share: float):
    """Zero seeds in 59 (299) control florets show selfing of at most 5 % (1 %), exact binomial."""
    assert upper_limit(0, florets) <= share < upper_limit(0, florets - 1)


@given(st.data(), st.integers(1, 400), st.sampled_from([0.8, 0.9, 0.95, 0.99]))
def test_agrees_with_statsmodels(data, trials: int, confidence: float):
    events = data.draw(st.integers(0, trials))
    for own, method in ((wilson_interval, "wilson"), (clopper_pearson_interval, "beta")):
        other = proportion_confint(events, trials, alpha=1 - confidence, method=method)
        assert own(events, trials, confidence) == pytest.approx(other, abs=1e-9)
    doubled = proportion_confint(events, trials, alpha=2 * (1 - confidence), method="beta")
    assert upper_limit(events, trials, confidence) == pytest.approx(doubled[1], abs=1e-9)
