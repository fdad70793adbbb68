"""Brier score by published values, reliability by counting."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import UsageError
from spikecheck.evaluation import Proportion
from spikecheck.evaluation.reliability import (
    brier_score,
    brier_score_of_both_classes,
    expected_calibration_error,
    reliability_bins,
)
from spikecheck.intervals import wilson_interval


@pytest.mark.parametrize(
    ("p", "happened", "binary", "both"),
    [(0.9, True, 0.01, 0.02), (0.9, False, 0.81, 1.62), (0.7, True, 0.09, 0.18)],
)
def test_brier_scores_of_single_forecasts(p: float, happened: bool, binary: float, both: float):  # noqa: FBT001
    """Brier 1950, Mon. Weather Rev. 78:1-3: sum over both classes; the binary form is half."""
    forecast, outcome = np.array([p]), np.array([happened])
    assert brier_score(forecast, outcome) == pytest.approx(binary)
    assert brier_score_of_both_classes(forecast, outcome) == pytest.approx(both)


def test_the_score_of_many_is_their_mean():
    p, happened = np.array([0.9, 0.9, 0.7]), np.array([True, False, True])
    assert brier_score(p, happened) == pytest.approx((0.01 + 0.81 + 0.09) / 3)


@given(st.lists(st.tuples(st.floats(0, 1), st.booleans()), min_size=1, max_size=50))
def test_the_score_falls_apart_into_reliability_resolution_and_uncertainty(pairs):
    """Murphy 1973, J. Appl. Meteor. 12:595-600, exact where all forecasts of a bin are equal."""
    p = np.round(np.array([pair[0] for pair in pairs]) * 4) / 4
    happened = np.array([pair[1] for pair in pairs])
    bins = reliability_bins(p, happened, edges=(0, 0.125, 0.375, 0.625, 0.875, 1.0))
    base, n = happened.mean(), len(p)
    reliability = sum(b.happened.trials * (b.mean - b.happened.share) ** 2 for b in bins) / n
    resolution = sum(b.happened.trials * (b.happened.share - base) ** 2 for b in bins) / n
    whole = reliability - resolution + base * (1 - base)
    assert brier_score(p, happened) == pytest.approx(whole, abs=1e-9)


def test_bins_hold_their_lower_edge_and_the_last_one_both():
    p = np.array([0.0, 0.19, 0.2, 0.5, 0.99, 1.0])
    happened = np.array([False, True, False, True, True, True])
    bins = reliability_bins(p, happened, edges=(0.0, 0.2, 0.5, 1.0))
    assert [each.happened for each in bins] == [
        Proportion(1, 2), Proportion(0, 1), Proportion(3, 3),
    ]  # fmt: skip
    assert bins[0].mean == pytest.approx(0.095)
    assert bins[0].happened.wilson == wilson_interval(1, 2)


def test_empty_bins_are_left_out():
    bins = reliability_bins(np.array([0.1, 0.9]), np.array([False, True]), edges=(0, 0.3, 0.6, 1))
    assert [(each.low, each.high) for each in bins] == [(0, 0.3), (0.6, 1)]


def test_expected_calibration_error_by_hand():
    p = np.array([0.1, 0.1, 0.8, 0.8])
    bins = reliability_bins(p, np.array([False, True, True, True]), edges=(0, 0.5, 1))
    assert expected_calibration_error(bins) == pytest.approx((2 * 0.4 + 2 * 0.2) / 4)


def test_forecasts_that_mean_what_they_say_lie_on_the_diagonal():
    rng = np.random.default_rng(0)
    p = rng.random(20_000)
    bins = reliability_bins(p, rng.random(20_000) < p)
    assert expected_calibration_error(bins) < 0.02
    assert brier_score(p, rng.random(20_000) < p) == pytest.approx(1 / 6, abs=0.01)  # E[p (1 - p)]


@pytest.mark.parametrize(
    ("p", "happened"), [([], []), ([0.5], [True, False]), ([1.1], [True]), ([np.nan], [True])]
)
def test_what_is_no_forecast_is_refused(p, happened):
    with pytest.raises(UsageError):
        brier_score(np.array(p, dtype=float), np.array(happened, dtype=bool))
