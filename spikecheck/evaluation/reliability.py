"""Whether probabilities mean what they say: Brier score and reliability diagram.

References
----------
Brier GW (1950). Verification of forecasts expressed in terms of probability. Monthly Weather
Review 78:1-3.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.errors import UsageError
from spikecheck.evaluation.records import Proportion

if TYPE_CHECKING:
    from numpy.typing import NDArray

# Most florets are clearly empty: bins of even width would put nearly all of them into one.
BIN_EDGES = (0.0, 0.001, 0.01, 0.05, 0.2, 0.5, 0.8, 0.95, 1.0)


@dataclass(frozen=True, slots=True)
class ReliabilityBin:
    """Forecasts of about one probability.

    Parameters
    ----------
    low, high
        The bin holds ``low <= p < high``; the last one also ``p = high``.
    mean
        Mean forecast in it, 0..1.
    happened
        How often it happened, with Wilson's interval.
    """

    low: float
    high: float
    mean: float
    happened: Proportion


def brier_score(p: NDArray[np.float64], happened: NDArray[np.bool_]) -> float:
    """Return the Brier score in its usual binary form, the mean of ``(p - happened) ** 2``.

    It lies in 0..1; 0 is perfect. Brier's own sum over both classes is twice this, see
    :func:`brier_score_of_both_classes`.

    Parameters
    ----------
    p
        float64 of shape (n,), n >= 1: forecast probabilities, 0..1.
    happened
        bool of shape (n,).

    Raises
    ------
    UsageError
        If there is no forecast, shapes differ or a forecast is out of range.
    """
    _refuse_unfit(p, happened)
    return float(((p - happened) ** 2).mean())


def brier_score_of_both_classes(p: NDArray[np.float64], happened: NDArray[np.bool_]) -> float:
    """Return the score as Brier defined it, summed over "happens" and "does not", 0..2."""
    return 2 * brier_score(p, happened)


def reliability_bins(
    p: NDArray[np.float64],
    happened: NDArray[np.bool_],
    *,
    edges: tuple[float, ...] = BIN_EDGES,
) -> tuple[ReliabilityBin, ...]:
    """Return how often it happened where about so much was forecast; empty bins are left out.

    Parameters
    ----------
    p, happened
        As in :func:`brier_score`.
    edges
        Ascending from 0 to 1.
    """
    _refuse_unfit(p, happened)
    places = np.clip(np.searchsorted(edges, p, side="right") - 1, 0, len(edges) - 2)
    return tuple(
        ReliabilityBin(
            low=edges[number],
            high=edges[number + 1],
            mean=float(p[places == number].mean()),
            happened=Proportion(
                int(happened[places == number].sum()), int((places == number).sum())
            ),
        )
        for number in np.unique(places).tolist()
    )


def expected_calibration_error(bins: tuple[ReliabilityBin, ...]) -> float:
    """Return the mean distance of forecast and frequency over all forecasts, 0..1."""
    total = sum(each.happened.trials for each in bins)
    gaps = (abs(each.happened.events - each.mean * each.happened.trials) for each in bins)
    return sum(gaps) / total


def _refuse_unfit(p: NDArray[np.float64], happened: NDArray[np.bool_]) -> None:
    if p.shape != happened.shape or p.ndim != 1 or len(p) == 0:
        raise UsageError(f"forecasts of shape {p.shape} do not fit outcomes {happened.shape}")
    if not np.all((p >= 0) & (p <= 1)):
        raise UsageError("a forecast is no probability from 0 to 1")
