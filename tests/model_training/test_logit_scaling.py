"""Logistic scaling against statsmodels, and what it must keep."""

from __future__ import annotations

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import CalibrationError
from spikecheck.model_training.logit_scaling import (
    fit_logit_scaling,
    logits_of,
    probabilities,
    soft_targets,
)
from spikecheck.networks import LogitScaling


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
    ours = fit_logit_scaling(logits, happened.astype(float))
    theirs = sm.Logit(happened.astype(float), sm.add_constant(logits)).fit(disp=0, tol=1e-12)
    assert [ours.b, ours.a] == pytest.approx(list(theirs.params), rel=1e-7)


def test_soft_targets_are_fitted_as_statsmodels_fits_them():
    """A binomial model of statsmodels takes targets between 0 and 1."""
    logits, happened = drawn(4, 300, 0.7, -1.0)
    targets = soft_targets(happened)
    ours = fit_logit_scaling(logits, targets)
    family = sm.families.Binomial()
    theirs = sm.GLM(targets, sm.add_constant(logits), family=family).fit(tol=1e-14)
    assert [ours.b, ours.a] == pytest.approx(list(theirs.params), rel=1e-6)


def test_the_numbers_that_were_drawn_with_come_back():
    logits, happened = drawn(5, 200_000, 0.6, -0.8)
    scaling = fit_logit_scaling(logits, happened.astype(float))
    assert (scaling.a, scaling.b) == pytest.approx((0.6, -0.8), abs=0.02)


def test_targets_are_those_of_platt():
    """(P + 1) / (P + 2) and 1 / (N + 2): Platt 1999, section 2.2."""
    assert soft_targets(np.array([True, True, False])).tolist() == [3 / 4, 3 / 4, 1 / 3]


def test_scores_that_separate_perfectly_get_a_finite_slope():
    logits = np.array([-30.0, -2.0, -1.0, 1.0, 2.0, 30.0])
    scaling = fit_logit_scaling(logits, soft_targets(logits > 0))
    p = probabilities(scaling, logits)
    assert np.all((p > 0) & (p < 1))
    assert scaling.a < 10


@pytest.mark.parametrize(
    ("logits", "targets"),
    [
        ([], []), ([1.0, 1.0], [0.0, 1.0]), ([1.0, 2.0], [1.0, 1.0]),
        ([1.0, np.nan], [0.0, 1.0]), ([1.0, 2.0], [0.0, 1.0, 1.0]),
    ],
)  # fmt: skip
def test_what_cannot_be_scaled_is_refused(logits, targets):
    with pytest.raises(CalibrationError):
        fit_logit_scaling(np.array(logits), np.array(targets))


def test_scores_that_mean_the_opposite_are_refused():
    logits, happened = drawn(6, 500, 1.0, 0.0)
    with pytest.raises(CalibrationError, match="do not mean"):
        fit_logit_scaling(logits, (~happened).astype(float))


def test_nothing_is_changed_by_slope_one_and_offset_nought():
    logits = np.array([-3.0, 0.0, 2.0])
    plain = probabilities(LogitScaling(1.0, 0.0), logits)
    assert plain == pytest.approx(1 / (1 + np.exp(-logits)))


@given(st.floats(-15, 15), st.floats(0.1, 1.5), st.floats(-3, 3))
def test_many_are_scaled_as_one_is_and_logits_come_back(logit: float, a: float, b: float):
    scaling = LogitScaling(a, b)
    there = probabilities(scaling, np.array([logit]))
    assert there[0] == pytest.approx(scaling.probability(logit), abs=1e-12)
    assert logits_of(scaling, there)[0] == pytest.approx(logit, abs=1e-3 / a)


def test_certain_probabilities_have_finite_logits():
    assert np.isfinite(logits_of(LogitScaling(2.0, 1.0), np.array([0.0, 1.0]))).all()
