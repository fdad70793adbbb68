"""Fitted scores: log-odds as a sum over features and their squares.

A score file lists, for every feature, its mean and spread over the tuning candidates and the
weights of the standardised feature and of its square. The files are written by
``python -m spikecheck.model_training.network_free``, which says in ``source`` what they were
fitted on; nobody edits them by hand.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.errors import ThresholdError
from spikecheck.language import N_, _

if TYPE_CHECKING:
    from numpy.typing import NDArray

SCORES = ("opening_score", "yellow_anther_score", "pale_anther_score", "green_anther_score")
_CURE = N_("Install spikecheck again or fit the score anew")
_CLIP = 3.0  # spreads; beyond it the fit saw too little to extrapolate


@dataclass(frozen=True, slots=True, eq=False)
class FittedScore:
    """One fitted score.

    Parameters
    ----------
    features
        Names of the F features, in the order they are given.
    mean, spread
        float64 of shape (F,): standardisation.
    weights, square_weights
        float64 of shape (F,): log-odds per spread and per squared spread.
    intercept
        Log-odds of an average candidate.
    source
        What it was fitted on.
    """

    features: tuple[str, ...]
    mean: NDArray[np.float64]
    spread: NDArray[np.float64]
    weights: NDArray[np.float64]
    square_weights: NDArray[np.float64]
    intercept: float
    source: str

    def log_odds(self, values: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the log-odds of N candidates from their features, shape (N, F)."""
        standard = standardised(values, self.mean, self.spread)
        return np.asarray(
            self.intercept + standard @ self.weights + (standard * standard) @ self.square_weights
        )


def standardised(
    values: NDArray[np.float64], mean: NDArray[np.float64], spread: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return features of shape (N, F) in spreads from their mean, at most 3 to either side."""
    return np.clip((values - mean) / spread, -_CLIP, _CLIP)


def read_score_text(name: str) -> str:
    """Return the TOML text of the score ``name``, as it is shipped."""
    return files("spikecheck.thresholds").joinpath(f"{name}.toml").read_text(encoding="utf-8")


def parse_score(text: str, *, name: str) -> FittedScore:
    """Parse a score file.

    Raises
    ------
    ThresholdError
        If an entry is missing or of another type.
    """
    try:
        entry = tomllib.loads(text)
        rows = entry["feature"]
        mean, spread, weights, squares = (
            np.array([float(row[key]) for row in rows])
            for key in ("mean", "spread", "weight", "square_weight")
        )
        return FittedScore(
            features=tuple(str(row["name"]) for row in rows),
            mean=mean,
            spread=spread,
            weights=weights,
            square_weights=squares,
            intercept=float(entry["intercept"]),
            source=str(entry["source"]),
        )
    except (tomllib.TOMLDecodeError, KeyError, TypeError, ValueError) as error:
        raise ThresholdError(
            _("not a score file ({error})").format(error=error),
            where=f"{name}.toml",
            cure=_(_CURE),
        ) from error


@cache
def load_score(name: str) -> FittedScore:
    """Return the shipped score ``name`` (one of :data:`SCORES`)."""
    return parse_score(read_score_text(name), name=name)
