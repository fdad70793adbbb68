"""Chooses the pass limit so that few spikes with a visible leftover pass: conformal risk control.

Each calibration spike has a visible leftover. At a limit it either passes, a loss of 1, or does
not, a loss of 0; a laxer limit can only let more pass. With n spikes the laxest limit is taken at
which ::

    (passed + 1) / (n + 1) <= alpha

Then a further spike of the same kind passes with probability alpha at most, on average over
calibration sets, whatever the network is like. The condition is that the spike and the set are
exchangeable: another crop, light or phone needs a calibration of its own.

References
----------
Angelopoulos AN, Bates S, Fisch A, Lei L, Schuster T (2022). Conformal risk control.
arXiv:2208.02814. The 1 in the numerator is the largest loss possible, B.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.errors import CalibrationError, UsageError

if TYPE_CHECKING:
    from numpy.typing import NDArray

_MATRIX = 2


class Outcome(StrEnum):
    """How the choice of a limit ended."""

    CHOSEN = "chosen"
    TOO_FEW = "too few"  # no limit can be certified with so few spikes, even if none passes
    TOO_LAX = "too lax"  # more than alpha allows pass even at the strictest limit


@dataclass(frozen=True, slots=True)
class RiskControl:
    """The limit that was chosen, or why there is none.

    Parameters
    ----------
    outcome
        Whether there is a limit.
    limit
        The laxest limit that keeps the bound; None without one.
    spikes
        Number of calibration spikes, n.
    spikes_least
        The smallest n that can certify ``alpha`` at all.
    passed
        How many of them pass at the limit; None without one.
    alpha
        The share that is to pass at most.
    bound
        What is promised: ``(passed + 1) / (spikes + 1)``; None without a limit.
    """

    outcome: Outcome
    limit: float | None
    spikes: int
    spikes_least: int
    passed: int | None
    alpha: float
    bound: float | None


def spikes_needed(alpha: float) -> int:
    """Return the smallest number of calibration spikes that can certify ``alpha``.

    With no spike passing the bound is ``1 / (n + 1)``, so n is ``ceil(1 / alpha - 1)``.

    Raises
    ------
    UsageError
        If ``alpha`` does not lie between 0 and 1.
    """
    return math.ceil(1 / _exact(alpha) - 1)


def limits_below(scores: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return every limit that can matter: the laxest just below each score, and 1.

    A spike passes unless something on it scores above the limit, so a limit just below a score is
    the laxest that stops all spikes of that score; between two such limits nothing changes.

    Parameters
    ----------
    scores
        float64 of shape (n,): the highest score on each spike, 0..1; inf where the spike goes to
        review whatever the limit.

    Returns
    -------
    ndarray
        float64 of shape (m,), ascending, 0..1; no limit stops a score of 0.

    Raises
    ------
    CalibrationError
        If a score is neither a number from 0 to 1 nor inf.
    """
    finite = scores[~np.isposinf(scores)]
    if not np.all((finite >= 0) & (finite <= 1)):
        raise CalibrationError("a score is no number from 0 to 1", cure="Score the photos anew")
    above_zero = np.unique(finite[finite > 0])
    return np.unique(np.append(np.nextafter(above_zero, 0.0), 1.0))


def control_risk(
    limits: NDArray[np.float64], passes: NDArray[np.bool_], *, alpha: float
) -> RiskControl:
    """Choose the laxest limit at which a leftover spike passes with probability alpha at most.

    Parameters
    ----------
    limits
        float64 of shape (m,), ascending: the limits to choose from.
    passes
        bool of shape (n, m): whether each spike, which has a visible leftover, passes at each
        limit. The order of the spikes means nothing.
    alpha
        The share that is to pass at most, above 0 and below 1; read as the decimal number it is
        written as, so that 1 in 100 is exactly 0.01.

    Returns
    -------
    RiskControl
        Never a guess: with too few spikes, or where too many pass at the strictest limit, there is
        no limit.

    Raises
    ------
    CalibrationError
        If the limits do not ascend, shapes do not fit, or a spike passes at a limit and not at a
        laxer one: for such losses the bound does not hold.
    UsageError
        If ``alpha`` does not lie between 0 and 1.
    """
    _refuse_unfit(limits, passes)
    spikes, least = len(passes), spikes_needed(alpha)

    def without_limit(outcome: Outcome) -> RiskControl:
        return RiskControl(outcome, None, spikes, least, None, alpha, None)

    if spikes < least:
        return without_limit(Outcome.TOO_FEW)
    counts = passes.sum(axis=0)
    most = math.floor(_exact(alpha) * (spikes + 1) - 1)
    kept = np.flatnonzero(counts <= most)
    if not len(kept):
        return without_limit(Outcome.TOO_LAX)
    chosen = int(kept[-1])  # counts never fall from one limit to a laxer one
    passed = int(counts[chosen])
    bound = (passed + 1) / (spikes + 1)
    return RiskControl(Outcome.CHOSEN, float(limits[chosen]), spikes, least, passed, alpha, bound)


def _exact(alpha: float) -> Fraction:
    if not 0 < alpha < 1:
        raise UsageError(f"the share that may pass lies between 0 and 1, got {alpha}")
    return Fraction(repr(float(alpha)))


def _refuse_unfit(limits: NDArray[np.float64], passes: NDArray[np.bool_]) -> None:
    if passes.ndim != _MATRIX or passes.shape[1] != len(limits) or passes.dtype != np.bool_:
        raise CalibrationError(
            f"answers of shape {passes.shape}, {passes.dtype}, do not fit {len(limits)} limits"
        )
    if not np.all(np.diff(limits) > 0):  # written so that a limit that is no number is refused
        raise CalibrationError("the limits do not ascend")
    if (passes[:, :-1] & ~passes[:, 1:]).any():
        raise CalibrationError(
            "a spike passes at a limit and not at a laxer one, so nothing can be promised"
        )
