"""Confidence intervals of a proportion.

Wilson's score interval for every proportion; the exact interval of Clopper and Pearson beside it
where few or no events are seen and the claim is about safety, since it never covers less than it
says.

References
----------
Newcombe RG (1998). Two-sided confidence intervals for the single proportion: comparison of seven
methods. Statistics in Medicine 17:857-872.
"""

from __future__ import annotations

from typing import Literal

from spikecheck.errors import UsageError


def wilson_interval(events: int, trials: int, confidence: float = 0.95) -> tuple[float, float]:
    """Return Wilson's score interval, without continuity correction.

    Parameters
    ----------
    events, trials
        ``0 <= events <= trials`` and ``trials >= 1``.
    confidence
        Two-sided confidence level, above 0 and below 1.

    Returns
    -------
    tuple of float
        Lower and upper bound, 0..1.

    Raises
    ------
    UsageError
        If a count or the level is out of range.
    """
    return _interval(events, trials, confidence, method="wilson", alternative="two-sided")


def clopper_pearson_interval(
    events: int, trials: int, confidence: float = 0.95
) -> tuple[float, float]:
    """Return the exact interval of Clopper and Pearson.

    Parameters and errors as in :func:`wilson_interval`.

    Returns
    -------
    tuple of float
        Lower and upper bound, 0..1.
    """
    return _interval(events, trials, confidence, method="exact", alternative="two-sided")


def upper_limit(events: int, trials: int, confidence: float = 0.95) -> float:
    """Return the exact one-sided upper limit: with no event seen, ``1 - (1 - c) ** (1 / n)``.

    Parameters and errors as in :func:`wilson_interval`, the level being one-sided.

    Returns
    -------
    float
        The limit, 0..1.
    """
    return _interval(events, trials, confidence, method="exact", alternative="less")[1]


def _interval(
    events: int,
    trials: int,
    confidence: float,
    *,
    method: Literal["wilson", "exact"],
    alternative: Literal["two-sided", "less"],
) -> tuple[float, float]:
    if not (trials >= 1 and 0 <= events <= trials):
        raise UsageError(f"an interval needs 0 <= events <= trials, got {events} of {trials}")
    if not 0 < confidence < 1:
        raise UsageError(f"a confidence level lies between 0 and 1, got {confidence}")
    from scipy.stats import binomtest

    test = binomtest(events, trials, alternative=alternative)
    bounds = test.proportion_ci(confidence_level=confidence, method=method)
    return float(bounds.low), float(bounds.high)
