"""Limits on the scores of photos."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.model_training.limits import midway_limit, upper_quantile


def logit(p):
    return np.log(p) - np.log1p(-p)


def test_the_limit_lies_in_the_middle_of_a_gap_between_steady_scores():
    p = np.array([0.1, 0.2, 0.2, 0.1, 0.2, 0.8, 0.8, 0.9, 0.9, 0.8])
    assert midway_limit(p, p > 0.5) == pytest.approx(0.5)


def test_the_limit_by_hand():
    """Eleven of each: the second lowest of 0.3 and the second highest of 0.01 stand for them."""
    with_it = np.array([0.02, 0.3, *[0.9] * 9])
    without = np.array([*[0.001] * 9, 0.01, 0.8])
    p, there = np.concatenate([with_it, without]), np.arange(22) < 11
    middle = (logit(0.3) + logit(0.01)) / 2
    assert midway_limit(p, there) == pytest.approx(1 / (1 + np.exp(-middle)))


def test_a_few_photos_choose_no_limit():
    p = np.linspace(0, 1, 100)
    assert midway_limit(p, p > 0.955) is not None
    assert midway_limit(p, p > 0.965) is None


probabilities = st.lists(st.floats(0.001, 0.999), min_size=5, max_size=30)


@given(probabilities, probabilities)
def test_where_there_is_a_gap_a_tenth_may_end_on_the_wrong_side(high, low):
    with_it, without = [(1 + p) / 2 for p in high], [p / 2 for p in low]
    p = np.array([*with_it, *without])
    limit = midway_limit(p, np.arange(len(p)) < len(with_it))
    margin = 1e-9
    assert sum(p > limit + margin for p in without) <= np.ceil(0.1 * len(without))
    assert sum(p < limit - margin for p in with_it) <= np.ceil(0.1 * len(with_it))


@given(probabilities, probabilities)
def test_what_is_there_and_what_is_not_weigh_alike(with_it, without):
    p = np.array([*with_it, *without])
    there = np.arange(len(p)) < len(with_it)
    assert midway_limit(1 - p, ~there) == pytest.approx(1 - midway_limit(p, there), abs=1e-6)


def test_a_further_value_stays_under_the_quantile_as_often_as_said():
    rng = np.random.default_rng(0)
    draws = rng.normal(size=(4000, 60))
    under = [row[-1] <= upper_quantile(row[:-1], 0.95) for row in draws]
    assert np.mean(under) == pytest.approx(0.95, abs=4 * np.sqrt(0.05 * 0.95 / 4000))


def test_too_few_values_for_a_quantile():
    assert upper_quantile(np.arange(19.0), 0.95) == 18.0
    assert upper_quantile(np.arange(18.0), 0.95) is None
    assert upper_quantile(np.array([]), 0.95) is None
