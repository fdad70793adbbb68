"""Top of a curve whose log-odds are ``a + b z + c z^2``, ``c`` below 0, and where it is high.

References
----------
Fieller EC (1954). Some problems in interval estimation. Journal of the Royal Statistical Society B
16:175-185: the interval of a ratio, here of the top ``-b / (2 c)``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from spikecheck.season.refit.binomial import BinomialFit


@dataclass(frozen=True, slots=True)
class Estimate:
    """A number with its interval, ``low <= value <= high``."""

    value: float
    low: float
    high: float


def bends_down(fit: BinomialFit, quantile: float) -> bool:
    """Return whether ``c`` is below 0 by more than ``quantile`` standard errors."""
    return bool(fit.coefficients[2] < -quantile * math.sqrt(fit.covariance[2, 2]))


def top(fit: BinomialFit, quantile: float) -> Estimate:
    """Return where the curve is highest, with Fieller's interval.

    Parameters
    ----------
    fit
        Of a, b and c; it must bend down by ``quantile`` standard errors, else the interval has no
        end.
    quantile
        Of Student's t, for the level wanted.
    """
    _, b, c = fit.coefficients.tolist()
    v, t2 = fit.covariance, quantile * quantile
    # (b + 2 c z)^2 = t^2 (Vbb + 4 z Vbc + 4 z^2 Vcc), solved for z.
    square = 4 * (c * c - t2 * v[2, 2])
    linear = 4 * (b * c - t2 * v[1, 2])
    constant = b * b - t2 * v[1, 1]
    root = math.sqrt(max(linear * linear - 4 * square * constant, 0.0))
    return Estimate(-b / (2 * c), (-linear - root) / (2 * square), (-linear + root) / (2 * square))


def height(fit: BinomialFit) -> float:
    """Return the proportion at the top, 0..1."""
    a, b, c = fit.coefficients.tolist()
    return 1 / (1 + math.exp(-(a - b * b / (4 * c))))


def edges(fit: BinomialFit, quantile: float, *, share: float) -> tuple[Estimate, Estimate]:
    """Return between which places the curve is at least ``share`` of its height.

    Their intervals come from the delta method.

    Parameters
    ----------
    fit
        Of a, b and c, bending down.
    quantile
        Of Student's t, for the level wanted.
    share
        Above 0, below 1.
    """
    _, b, c = fit.coefficients.tolist()
    place, high = -b / (2 * c), height(fit)
    # From the top the log-odds fall by `drop` at the distance `half` on either side.
    drop = math.log(high / (1 - high)) - math.log(share * high / (1 - share * high))
    half = math.sqrt(drop / -c)
    # Gradients for (a, b, c): of the top's log-odds, of its place, and of the distance.
    of_top = np.array([1.0, place, place * place])
    of_place = np.array([0.0, -1 / (2 * c), b / (2 * c * c)])
    drop_by_top = 1 - (1 - high) / (1 - share * high)
    of_half = of_top * (drop_by_top / (2 * half * -c)) + np.array([0.0, 0.0, half / (2 * -c)])
    found = []
    for side in (-1, 1):
        gradient = of_place + side * of_half
        error = quantile * math.sqrt(float(gradient @ fit.covariance @ gradient))
        edge = place + side * half
        found.append(Estimate(edge, edge - error, edge + error))
    return found[0], found[1]
