"""Fits one score by ridge-penalised logistic regression, and writes it down."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import numpy as np
from scipy.optimize import minimize

from spikecheck.thresholds.scores import FittedScore, standardised

if TYPE_CHECKING:
    from numpy.typing import NDArray

_PENALTY = 3e-4


def fit_score(
    features: NDArray[np.float64],
    right: NDArray[np.bool_],
    *,
    names: tuple[str, ...],
    source: str,
) -> FittedScore:
    """Fit one score by penalised logistic regression.

    Parameters
    ----------
    features
        float64 of shape (N, F).
    right
        bool of shape (N,).
    names
        Names of the F features.
    source
        Written into the score.
    """
    mean, spread = features.mean(axis=0), features.std(axis=0) + 1e-9
    standard = standardised(features, mean, spread)
    design = np.hstack([np.ones((len(features), 1)), standard, standard * standard])
    wanted = right.astype(np.float64)

    def loss(weights: NDArray[np.float64]) -> tuple[float, NDArray[np.float64]]:
        odds = design @ weights
        chance = 1 / (1 + np.exp(-odds))
        slope = design.T @ (chance - wanted) / len(wanted)
        slope[1:] += 2 * _PENALTY * weights[1:]
        value = (np.logaddexp(0, odds) - wanted * odds).mean()
        return float(value + _PENALTY * (weights[1:] ** 2).sum()), slope

    start = np.zeros(design.shape[1])
    best = minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": 2000}).x
    count = len(names)
    return FittedScore(
        names, mean, spread, best[1 : count + 1], best[count + 1 :], float(best[0]), source
    )


def score_text(score: FittedScore) -> str:
    """Return the TOML text of ``score``."""
    lines = [f"source = {_quoted(score.source)}", f"intercept = {score.intercept:.5g}"]
    for name, *values in zip(
        score.features, score.mean, score.spread, score.weights, score.square_weights, strict=True
    ):
        numbers = zip(("mean", "spread", "weight", "square_weight"), values, strict=True)
        entries = [f"{key} = {value:.5g}" for key, value in numbers]
        lines += ["", "[[feature]]", f"name = {_quoted(name)}", *entries]
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)  # a JSON string is a basic string of TOML
