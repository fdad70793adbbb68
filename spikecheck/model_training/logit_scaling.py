"""Turns the raw scores of a network into probabilities: logistic scaling with two numbers.

References
----------
Platt JC (1999). Probabilistic outputs for support vector machines and comparisons to regularized
likelihood methods. Advances in Large Margin Classifiers, 61-74. The softened targets are his.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.errors import CalibrationError
from spikecheck.networks import LogitScaling

if TYPE_CHECKING:
    from numpy.typing import NDArray

_STEPS_MOST = 100
_HALVINGS_MOST = 40
_SMALL_STEP = 1e-10
_LARGEST_LOGIT = 30.0  # beyond it a probability is 0 or 1 to 13 digits


def probabilities(scaling: LogitScaling, logits: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the scaled probabilities of ``logits``, float64 of the same shape, 0..1."""
    return _sigmoid(scaling.a * logits + scaling.b)


def logits_of(scaling: LogitScaling, scaled: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the raw logits that gave the probabilities ``scaled``, float64 of the same shape.

    Probabilities nearer to 0 or 1 than counts here come back as logits of one just inside.
    """
    with np.errstate(divide="ignore"):
        odds = np.log(scaled) - np.log1p(-scaled)
    inside: NDArray[np.float64] = np.clip(odds, -_LARGEST_LOGIT, _LARGEST_LOGIT)
    return (inside - scaling.b) / scaling.a


def soft_targets(happened: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Return Platt's targets: a little less than 1 and a little more than 0.

    With P events and N non-events they are ``(P + 1) / (P + 2)`` and ``1 / (N + 2)``, so that
    scores which separate the two perfectly do not drive the slope to infinity.

    Parameters
    ----------
    happened
        bool of shape (n,).
    """
    events = int(happened.sum())
    others = len(happened) - events
    return np.where(happened, (events + 1) / (events + 2), 1 / (others + 2))


def fit_logit_scaling(logits: NDArray[np.float64], targets: NDArray[np.float64]) -> LogitScaling:
    """Fit slope and offset by maximum likelihood, with Newton's method.

    Parameters
    ----------
    logits
        float64 of shape (n,): raw scores of the network.
    targets
        float64 of shape (n,), 0..1: what happened, or :func:`soft_targets` of it.

    Raises
    ------
    CalibrationError
        If there is nothing to tell apart, a score is no number, or higher scores do not mean
        higher probability.
    """
    if logits.shape != targets.shape or logits.ndim != 1 or not np.isfinite(logits).all():
        raise CalibrationError("the scores to be scaled are no row of numbers with a target each")
    if len(logits) == 0 or np.ptp(logits) == 0 or np.ptp(targets) == 0:
        raise CalibrationError(
            f"{len(logits)} scores without two kinds of outcome cannot be scaled",
            cure="Use more photos, some with and some without an anther",
        )
    design = np.column_stack([logits, np.ones_like(logits)])
    weights = np.zeros(2)
    for _ in range(_STEPS_MOST):
        step = _newton_step(design, targets, weights)
        weights = _not_worse(design, targets, weights, step)
        if np.abs(step).max() < _SMALL_STEP * (1 + np.abs(weights).max()):
            break
    if weights[0] <= 0:
        raise CalibrationError(
            "higher scores do not mean that an anther is likelier", cure="Fit the network anew"
        )
    return LogitScaling(float(weights[0]), float(weights[1]))


def _newton_step(
    design: NDArray[np.float64], targets: NDArray[np.float64], weights: NDArray[np.float64]
) -> NDArray[np.float64]:
    p = _sigmoid(design @ weights)
    slope = design.T @ (targets - p)
    curvature = (design * (p * (1 - p))[:, None]).T @ design
    return np.asarray(np.linalg.lstsq(curvature, slope, rcond=None)[0], dtype=np.float64)


def _not_worse(
    design: NDArray[np.float64],
    targets: NDArray[np.float64],
    weights: NDArray[np.float64],
    step: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Take the step, halved until the likelihood does not fall: Newton alone can overshoot."""
    before = _loss(design, targets, weights)
    share = 1.0
    for _ in range(_HALVINGS_MOST):
        after = weights + share * step
        if _loss(design, targets, after) <= before:
            return after
        share /= 2
    return weights


def _loss(
    design: NDArray[np.float64], targets: NDArray[np.float64], weights: NDArray[np.float64]
) -> float:
    odds = design @ weights
    return float((np.logaddexp(0, odds) - targets * odds).mean())


def _sigmoid(odds: NDArray[np.float64]) -> NDArray[np.float64]:
    from scipy.special import expit

    return np.asarray(expit(odds), dtype=np.float64)
