"""Regression of proportions against published results and a reference library."""

from __future__ import annotations

import numpy as np
import pytest
import statsmodels.api as sm

from spikecheck.season.refit.binomial import fit_binomial
from spikecheck.season.refit.curve import edges, height, top

# Bliss 1935 (Annals of Applied Biology 22:134-167), beetles killed by gaseous carbon disulphide,
# as in Dobson, An Introduction to Generalized Linear Models, chapter "Binary variables and logistic
# regression": dose in log10 of mg per litre, beetles, killed.
DOSE = np.array([1.6907, 1.7242, 1.7552, 1.7842, 1.8113, 1.8369, 1.8610, 1.8839])
BEETLES = np.array([59, 60, 62, 56, 63, 59, 62, 60], dtype=float)
KILLED = np.array([6, 13, 18, 28, 52, 53, 61, 60], dtype=float)


def test_the_published_example_of_a_logistic_line():
    """Dobson: -60.72 (standard error 5.18) and 34.27 (2.91), from memory."""
    fit = fit_binomial(np.column_stack([np.ones(8), DOSE]), KILLED, BEETLES)
    assert fit.coefficients == pytest.approx([-60.72, 34.27], abs=0.005)
    errors = np.sqrt(np.diag(fit.covariance) / fit.dispersion)
    assert errors == pytest.approx([5.18, 2.91], abs=0.005)


def quadratic(seed, units=50):
    rng = np.random.default_rng(seed)
    z = rng.normal(0, 1, units)
    trials = rng.integers(10, 30, units).astype(float)
    share = 1 / (1 + np.exp(-(0.4 + 0.3 * z - 0.6 * z * z + rng.normal(0, 0.6, units))))
    successes = rng.binomial(trials.astype(int), share).astype(float)
    return np.column_stack([np.ones(units), z, z * z]), successes, trials


def reference(design, successes, trials):
    model = sm.GLM(
        np.column_stack([successes, trials - successes]), design, family=sm.families.Binomial()
    )
    # scale="X2" of the library leaves out the number of trials; its Pearson statistic has them.
    plain = model.fit(tol=1e-12)
    return model.fit(scale=plain.pearson_chi2 / plain.df_resid, tol=1e-12)


@pytest.mark.parametrize("seed", range(5))
def test_coefficients_and_covariance_are_those_of_statsmodels(seed):
    data = quadratic(seed)
    ours, theirs = fit_binomial(*data), reference(*data)
    assert ours.coefficients == pytest.approx(theirs.params, rel=1e-6)
    assert ours.dispersion == pytest.approx(theirs.scale, rel=1e-6)
    assert ours.covariance == pytest.approx(theirs.cov_params(), rel=1e-5)


@pytest.mark.parametrize("seed", range(3))
def test_fiellers_bounds_are_where_the_slope_is_just_significant(seed):
    """At a bound z the slope b + 2 c z is as many standard errors from 0 as the quantile says."""
    data = quadratic(seed)
    theirs, quantile = reference(*data), 2.01
    place = top(fit_binomial(*data), quantile)
    for bound in (place.low, place.high):
        assert abs(theirs.t_test([0, 1, 2 * bound]).tvalue.item()) == pytest.approx(quantile)
    assert place.low < place.value < place.high


def test_the_edges_follow_the_delta_method_by_numerical_gradients():
    fit = fit_binomial(*quadratic(1))
    share, quantile = 0.8, 1.96

    def places(coefficients):
        a, b, c = coefficients
        log_odds = np.poly1d([c, b, a])
        high = 1 / (1 + np.exp(-log_odds(-b / (2 * c))))
        wanted = np.log(share * high / (1 - share * high))
        return np.sort((log_odds - wanted).roots)

    step = 1e-6
    gradients = np.array([
        (places(fit.coefficients + step * unit) - places(fit.coefficients - step * unit))
        / (2 * step)
        for unit in np.eye(3)
    ])  # fmt: skip
    for k, edge in enumerate(edges(fit, quantile, share=share)):
        error = np.sqrt(gradients[:, k] @ fit.covariance @ gradients[:, k])
        assert edge.value == pytest.approx(places(fit.coefficients)[k])
        assert edge.high - edge.value == pytest.approx(quantile * error, rel=1e-5)
    assert 0 < height(fit) < 1


def test_less_scatter_than_chance_is_not_believed():
    trials = np.full(8, 100.0)
    fit = fit_binomial(np.ones((8, 1)), np.full(8, 30.0), trials)
    assert fit.dispersion == 1
    assert fit.coefficients == pytest.approx([np.log(3 / 7)])


def test_where_nothing_can_be_fitted_there_is_no_fit():
    x = np.arange(8.0)
    line = np.column_stack([np.ones(8), x])
    trials = np.full(8, 10.0)
    assert fit_binomial(line, np.where(x < 4, 0.0, 10.0), trials) is None, "separated"
    assert fit_binomial(line, np.zeros(8), trials) is None, "none"
    assert fit_binomial(np.column_stack([line, x]), np.full(8, 3.0), trials) is None, "dependent"
