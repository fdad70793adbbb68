"""Regression of proportions: log-odds linear in the columns of a design.

References
----------
McCullagh P, Nelder JA (1989). Generalized Linear Models, 2nd ed., chapter 4: iteratively reweighted
least squares; section 4.5: overdispersion, estimated by Pearson's statistic over its degrees of
freedom.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

_STEPS_MOST = 50
_CLOSE = 1e-10
_LOG_ODDS_MOST = 30.0  # beyond it a proportion is 0 or 1 in double precision: no maximum is there


@dataclass(frozen=True, slots=True, eq=False)
class BinomialFit:
    """A fitted regression.

    Parameters
    ----------
    coefficients
        float64 of shape (K,).
    covariance
        float64 of shape (K, K), of the coefficients, multiplied by the dispersion.
    dispersion
        Pearson's statistic over N - K, at least 1: how much more proportions scatter between units
        than binomial sampling does.
    """

    coefficients: NDArray[np.float64]
    covariance: NDArray[np.float64]
    dispersion: float


def fit_binomial(
    design: NDArray[np.float64], successes: NDArray[np.float64], trials: NDArray[np.float64]
) -> BinomialFit | None:
    """Fit by iteratively reweighted least squares.

    Parameters
    ----------
    design
        float64 of shape (N, K), N above K.
    successes, trials
        float64 of shape (N,), trials 1 or more.

    Returns
    -------
    BinomialFit or None
        None where likelihood has no maximum (a column separates all from none) or columns depend on
        each other.
    """
    units, columns = design.shape
    share = (successes + 0.5) / (trials + 1)
    log_odds = np.log(share / (1 - share))
    coefficients: NDArray[np.float64] = np.zeros(columns)
    for _ in range(_STEPS_MOST):
        share = 1 / (1 + np.exp(-log_odds))
        weights = trials * share * (1 - share)
        working = log_odds + (successes - trials * share) / weights
        information = design.T @ (weights[:, None] * design)
        if np.linalg.matrix_rank(information) < columns:
            return None
        before = coefficients
        coefficients = np.asarray(
            np.linalg.solve(information, design.T @ (weights * working)), dtype=np.float64
        )
        log_odds = design @ coefficients
        if np.abs(log_odds).max() > _LOG_ODDS_MOST:
            return None
        if np.abs(coefficients - before).max() <= _CLOSE * (1 + np.abs(coefficients).max()):
            break
    else:
        return None
    share = 1 / (1 + np.exp(-log_odds))
    variance = trials * share * (1 - share)
    pearson = float(((successes - trials * share) ** 2 / variance).sum())
    dispersion = max(1.0, pearson / (units - columns))
    information = design.T @ (variance[:, None] * design)
    return BinomialFit(coefficients, np.linalg.inv(information) * dispersion, dispersion)
