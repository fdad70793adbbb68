"""Coefficients of agreement beyond chance: Cohen's kappa and Gwet's AC1.

References
----------
Cohen J (1960). A coefficient of agreement for nominal scales. Educational and Psychological
Measurement 20:37-46; weighted: Cohen J (1968). Psychological Bulletin 70:213-220.
Fleiss JL, Cohen J, Everitt BS (1969). Large sample standard errors of kappa and weighted kappa.
Psychological Bulletin 72:323-327.
Gwet KL (2008). Computing inter-rater reliability and its variance in the presence of high
agreement. British Journal of Mathematical and Statistical Psychology 61:29-48.
"""

from __future__ import annotations

import math
from enum import StrEnum
from itertools import product
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

# Chance agreement this near to 1 leaves nothing to divide by.
_NOTHING_LEFT = 1e-12


class Weighting(StrEnum):
    """How much two different answers count as agreement; classes stand in order for the last two.

    With ``k`` classes, answers ``d`` classes apart count 0, ``1 - d / (k - 1)`` or
    ``1 - (d / (k - 1)) ** 2``.
    """

    NONE = "none"
    LINEAR = "linear"
    QUADRATIC = "quadratic"


def weights(classes: int, weighting: Weighting) -> list[list[float]]:
    """Return how much each pair of answers counts as agreement, shape (classes, classes), 0..1."""
    far = classes - 1
    count: Callable[[int], float] = {
        Weighting.NONE: lambda apart: float(apart == 0),
        Weighting.LINEAR: lambda apart: 1 - apart / far,
        Weighting.QUADRATIC: lambda apart: 1 - (apart / far) ** 2,
    }[weighting]
    return [[count(abs(i - j)) for j in range(classes)] for i in range(classes)]


class Kappa:
    """Cohen's kappa of a table of shares, with the errors of Fleiss, Cohen & Everitt (1969).

    Parameters
    ----------
    shares
        Shape (k, k), summing to 1: rows are the first reader's answers, columns the second's.
    weighting
        How much different answers count.

    Attributes
    ----------
    observed, expected
        Agreement seen and expected by chance, weighted, 0..1.
    degenerate
        Whether chance alone brings full agreement, so that there is no kappa.
    value
        Kappa; not a number where there is none.
    """

    def __init__(self, shares: list[list[float]], weighting: Weighting) -> None:
        self._shares = shares
        self._cells = list(product(range(len(shares)), repeat=2))
        self._weights = weights(len(shares), weighting)
        self._rows, self._columns = _margins(shares)
        self.observed = sum(self._weights[i][j] * shares[i][j] for i, j in self._cells)
        self.expected = sum(
            self._weights[i][j] * self._rows[i] * self._columns[j] for i, j in self._cells
        )
        self.degenerate = 1 - self.expected < _NOTHING_LEFT
        self.value = (
            math.nan if self.degenerate else (self.observed - self.expected) / (1 - self.expected)
        )
        # Mean weight of a row over the second reader's answers, of a column over the first's.
        self._of_row = [
            sum(w * c for w, c in zip(row, self._columns, strict=True)) for row in self._weights
        ]
        self._of_column = [
            sum(w * r for w, r in zip(row, self._rows, strict=True)) for row in self._weights
        ]

    def error(self, spikes: int) -> float:
        """Return the large-sample standard error."""
        seen, chance = self.observed, self.expected
        squares = sum(
            self._shares[i][j]
            * (
                self._weights[i][j] * (1 - chance)
                - (self._of_row[i] + self._of_column[j]) * (1 - seen)
            )
            ** 2
            for i, j in self._cells
        )
        variance = squares - (seen * chance - 2 * chance + seen) ** 2
        return math.sqrt(max(variance, 0.0) / spikes) / (1 - chance) ** 2

    def null_error(self, spikes: int) -> float:
        """Return the standard error if readers agree by chance only."""
        squares = sum(
            self._rows[i]
            * self._columns[j]
            * (self._weights[i][j] - (self._of_row[i] + self._of_column[j])) ** 2
            for i, j in self._cells
        )
        variance = squares - self.expected**2
        return math.sqrt(max(variance, 0.0) / spikes) / (1 - self.expected)


def gwet_ac1(shares: list[list[float]], spikes: int) -> tuple[float, float]:
    """Return AC1 and its standard error (the variance is that of the delta method).

    Parameters
    ----------
    shares
        Shape (k, k), summing to 1.
    spikes
        How many were read.
    """
    classes = len(shares)
    middle = middle_shares(shares)
    seen = sum(shares[i][i] for i in range(classes))
    chance = sum(m * (1 - m) for m in middle) / (classes - 1)
    value = (seen - chance) / (1 - chance)
    mean = square = 0.0
    for i, j in product(range(classes), repeat=2):
        # How much chance agreement and AC1 move with the share of this cell.
        of_chance = (1 - middle[i] - middle[j]) / (classes - 1)
        slope = (float(i == j) - (1 - value) * of_chance) / (1 - chance)
        mean += shares[i][j] * slope
        square += shares[i][j] * slope**2
    return value, math.sqrt(max(square - mean**2, 0.0) / spikes)


def _margins(shares: list[list[float]]) -> tuple[list[float], list[float]]:
    return [sum(row) for row in shares], [sum(column) for column in zip(*shares, strict=True)]


def middle_shares(shares: list[list[float]]) -> list[float]:
    """Return each answer's share among all answers of both readers, shape (k,)."""
    return [(r + c) / 2 for r, c in zip(*_margins(shares), strict=True)]
