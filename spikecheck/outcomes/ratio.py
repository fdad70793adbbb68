"""The score interval of a ratio of two shares.

References
----------
Koopman PAR (1984). Confidence intervals for the ratio of two binomial proportions.
Biometrics 40:513-517.

Miettinen O, Nurminen M (1985). Comparative analysis of two rates. Statistics in Medicine 4:213-226.
(The shares that are most likely at a given ratio, in closed form.)
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError

if TYPE_CHECKING:
    from collections.abc import Callable

_WIDEST_LOG = 700.0  # of a ratio, as far as a float reaches


def ratio_interval(
    events: float, trials: float, other_events: float, other_trials: float,
    confidence: float = 0.95,
) -> tuple[float, float]:  # fmt: skip
    """Return Koopman's score interval of ``(events / trials) / (other_events / other_trials)``.

    Parameters
    ----------
    events, trials, other_events, other_trials
        Counts, or effective counts that need not be whole; ``other_events`` above 0.
    confidence
        Two-sided, above 0 and below 1.

    Returns
    -------
    tuple of float
        Bounds, the lower one 0 or more; it is 0 without an event.

    Raises
    ------
    UsageError
        If counts or level are out of range.
    """
    fits = 0 <= events <= trials and 0 < other_events <= other_trials and trials > 0
    if not fits:
        raise UsageError(
            f"no ratio of {events:g} of {trials:g} to {other_events:g} of {other_trials:g}",
            cure="The second needs one event or more",
        )
    if not 0 < confidence < 1:
        raise UsageError(f"a confidence level lies between 0 and 1, got {confidence}")
    from scipy.optimize import brentq
    from scipy.stats import chi2

    most = float(chi2.ppf(confidence, 1))

    def excess(log_ratio: float) -> float:
        return _score(math.exp(log_ratio), events, trials, other_events, other_trials) - most

    start = math.log(max(events, 0.5) / trials / (other_events / other_trials))
    middle = start if events else -_WIDEST_LOG
    low = 0.0 if not events else math.exp(brentq(excess, _beyond(excess, start, -1), middle))
    high = math.exp(brentq(excess, middle, _beyond(excess, start, 1)))
    return low, high


def _beyond(excess: Callable[[float], float], start: float, sign: int) -> float:
    """Return a place on one side of ``start`` that is outside of the interval."""
    step = 1.0
    while excess(start + sign * step) < 0:
        step *= 2
    return start + sign * step


def _score(ratio: float, x1: float, n1: float, x2: float, n2: float) -> float:
    """Return the score chi-square of a ratio."""
    a = (n1 + n2) * ratio
    b = n1 * ratio + x1 + n2 + x2 * ratio
    # The smaller root of a p**2 - b p + (x1 + x2), in the form that does not cancel.
    p2 = 2 * (x1 + x2) / (b + math.sqrt(max(0.0, b * b - 4 * a * (x1 + x2))))
    p1 = ratio * p2
    return _part(x1, n1, p1) + _part(x2, n2, p2)


def _part(x: float, n: float, p: float) -> float:
    off = (x - n * p) ** 2
    spread = n * p * (1 - p)
    if spread <= 0:
        return 0.0 if off < 1e-18 * n * n else math.inf
    return off / spread
