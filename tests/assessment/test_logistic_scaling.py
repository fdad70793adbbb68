"""Logistic scaling against statsmodels, and what it must keep."""

from __future__ import annotations

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.assessment.logistic_scaling import (
    LogisticScaling,
    fit_logistic_scaling,
    soft_targets,
)
from spikecheck.errors import CalibrationError


def drawn(seed: int, count: int, slope: float, offset: float):
    """Logits, and outcomes that happen with the scaled probability."""
    rng = np.random.default_rng(seed)
    logits = rng.normal(-1, 3, count)
    p = 1 / (1 + np.exp(-(slope * logits + offset)))
    return logits, rng.random(count) < p


@pytest.mark.parametrize(
    ("seed", "slope", "offset"), [(0, 1.0, 0.0), (1, 0.4, -2.0), (2, 2.5, 1.0), (3, 0.05, 0.5)]
)
def test_the_fit_is_that_of_statsmodels(seed: int, slope: float, offset: float):
    """statsmodels' ``Logit``, Newton to 1e-12."""
    logits, happened = drawn(seed, 500, slope, offset)
    ours = fit_logistic_scaling(logits, happened.astype(float))
    theirs = sm.Logit(happened.astype(float), sm.add_constant(logits)).fit(disp=0, tol=1e-12)
    assert [ours.offset, ours.slope] == pytest.approx(list(theirs.params), rel=1e-7)


def test_soft_targets_are_fitted_as_statsmodels_fits_them():
    """A binomial model of statsmodels takes targets between 0 and 1."""
    logits, happened = drawn(4, 300, 0.7, -1.0)
    targets = soft_targets(happened)
    ours = fit_logistic_scaling(logits, targets)
    family = sm.families.Binomial()
    theirs = sm.GLM(targets, sm.add_constant(logits), family=family).fit(tol=1e-14)
    assert [ours.offset, ours.slope] == pytest.approx(list(theirs.params), rel=1e-6)


def test_the_numbers_that_were_drawn_with_come_back():
    logits, happened = drawn(5, 200_000, 0.6, -0.8)
    scaling = fit_logistic_scaling(logits, happened.astype(float))
    assert (scaling.slope, scaling.offset) == pytest.approx((0.6, -0.8), abs=0.02)


def test_targets_are_those_of_platt():
    """(P + 1) / (P + 2) and 1 / (N + 2): Platt 1999, section 2.2."""
    assert soft_targets(np.array([True, True, False])).tolist() == [3 / 4, 3 / 4, 1 / 3]


def test_scores_that_separate_perfectly_get_a_finite_slope():
    logits = np.array([-30.0, -2.0, -1.0, 1.0, 2.0, 30.0])
    scaling = fit_logistic_scaling(logits, soft_targets(logits > 0))
    p = scaling.probability(logits)
    assert np.all((p > 0) & (p < 1))
    assert scaling.slope < 10


@pytest.mark.parametrize(
    ("logits", "targets"),
    [
        ([], []), ([1.0, 1.0], [0.0, 1.0]), ([1.0, 2.0], [1.0, 1.0]),
        ([1.0, np.nan], [0.0, 1.0]), ([1.0, 2.0], [0.0, 1.0, 1.0]),
    ],
)  # fmt: skip
def test_what_cannot_be_scaled_is_refused(logits, targets):
    with pytest.raises(CalibrationError):
        fit_logistic_scaling(np.array(logits), np.array(targets))


def test_scores_that_mean_the_opposite_are_refused():
    logits, happened = drawn(6, 500, 1.0, 0.0)
    with pytest.raises(CalibrationError, match="do not mean"):
        fit_logistic_scaling(logits, (~happened).astype(float))


@pytest.mark.parametrize(("slope", "offset"), [(0.0, 0.0), (-1.0, 0.0), (np.nan, 0.0), (1, np.inf)])
def test_a_scaling_that_turns_the_order_is_none(slope: float, offset: float):
    with pytest.raises(CalibrationError, match="slope above 0"):
        LogisticScaling(slope, offset)


def test_nothing_is_changed_by_slope_one_and_offset_nought():
    logits = np.array([-3.0, 0.0, 2.0])
    assert LogisticScaling().probability(logits) == pytest.approx(1 / (1 + np.exp(-logits)))


@given(st.floats(-15, 15), st.floats(0.1, 1.5), st.floats(-3, 3))
def test_logits_come_back_from_probabilities(logit: float, slope: float, offset: float):
    scaling = LogisticScaling(slope, offset)
    there = scaling.probability(np.array([logit]))
    assert scaling.logit(there)[0] == pytest.approx(logit, abs=1e-3 / slope)


def test_certain_probabilities_have_finite_logits():
    assert np.isfinite(LogisticScaling(2.0, 1.0).logit(np.array([0.0, 1.0]))).all()


@given(st.lists(st.floats(-40, 40), min_size=2, max_size=20), st.floats(0.1, 3), st.floats(-3, 3))
def test_the_order_of_scores_is_kept(logits, slope, offset):
    row = np.sort(np.array(logits))
    assert np.all(np.diff(LogisticScaling(slope, offset).probability(row)) >= 0)
