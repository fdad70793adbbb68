"""Wald's sequential probability ratio test of a miss rate.

After every trial the likelihood of the misses so far under an unacceptable rate is set against
that under an acceptable one; two parallel lines in the plane of trials and misses say when it is
enough. The closed forms take the test to end exactly on a line. It really ends a little beyond,
so its errors are bounded by ``good_sent_back / (1 - poor_signed_off)`` and
``poor_signed_off / (1 - good_sent_back)``, and their sum by the sum of both.

References
----------
Wald A (1945). Sequential tests of statistical hypotheses. Annals of Mathematical Statistics
16:117-186.
Wald A (1947). Sequential Analysis. Wiley, New York, chapters 3 and 5.
NIST/SEMATECH e-Handbook of Statistical Methods, section 6.2.6, sequential sampling plans.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError

if TYPE_CHECKING:
    from collections.abc import Iterable

_HALF = 0.5


class Decision(StrEnum):
    """What the misses so far say."""

    SIGNED_OFF = "signed off"
    NOT_YET = "not yet"
    MORE_PRACTICE = "more practice"


@dataclass(frozen=True, slots=True)
class SequentialTest:
    """The test, and what is known of it before it begins.

    Parameters
    ----------
    acceptable, unacceptable
        Miss rates, ``0 < acceptable < unacceptable < 1``.
    good_sent_back
        Chance that a person of the acceptable rate is told to practise more (Wald's alpha).
    poor_signed_off
        Chance that a person of the unacceptable rate is signed off (Wald's beta); either chance
        above 0 and below a half.

    Raises
    ------
    UsageError
        If the rates or chances cannot be.
    """

    acceptable: float
    unacceptable: float
    good_sent_back: float
    poor_signed_off: float

    def __post_init__(self) -> None:
        if not 0 < self.acceptable < self.unacceptable < 1:
            raise UsageError(
                f"miss rates need 0 < acceptable < unacceptable < 1, got {self.acceptable} and "
                f"{self.unacceptable}"
            )
        for chance in (self.good_sent_back, self.poor_signed_off):
            if not 0 < chance < _HALF:
                raise UsageError(f"a chance of error lies above 0 and below a half, got {chance}")

    @property
    def slope(self) -> float:
        """Misses a trial along both lines; also the rate that is hardest to decide on."""
        return -self._per_find / (self._per_miss - self._per_find)

    @property
    def sign_off_intercept(self) -> float:
        """Misses at no trial on the line at or below which a person is signed off; below 0."""
        return self._lower / (self._per_miss - self._per_find)

    @property
    def practice_intercept(self) -> float:
        """Misses at no trial on the line at or above which more practice is needed; above 0."""
        return self._upper / (self._per_miss - self._per_find)

    def misses_most(self, trials: int) -> int | None:
        """Return with how many misses in ``trials`` a person is signed off, None if with none."""
        most = math.floor(self.sign_off_intercept + self.slope * trials)
        return most if most >= 0 else None

    def misses_too_many(self, trials: int) -> int | None:
        """Return from how many misses in ``trials`` more practice is needed, None if from none."""
        least = math.ceil(self.practice_intercept + self.slope * trials)
        return least if least <= trials else None

    def decide(self, missed: Iterable[bool]) -> tuple[Decision, int, int]:
        """Follow trials until a line is reached; what comes after it changes nothing.

        Parameters
        ----------
        missed
            Whether each trial was a miss, in the order they were made.

        Returns
        -------
        tuple of (Decision, int, int)
            The decision, and how many trials and misses it rests on.
        """
        trials = misses = 0
        for miss in missed:
            trials, misses = trials + 1, misses + bool(miss)
            most, too_many = self.misses_most(trials), self.misses_too_many(trials)
            if most is not None and misses <= most:
                return Decision.SIGNED_OFF, trials, misses
            if too_many is not None and misses >= too_many:
                return Decision.MORE_PRACTICE, trials, misses
        return Decision.NOT_YET, trials, misses

    def chance_signed_off(self, miss_rate: float) -> float:
        """Return the operating characteristic at ``miss_rate``, by Wald's closed form.

        Raises
        ------
        UsageError
            If the rate lies outside 0..1.
        """
        _checked(miss_rate)
        if miss_rate in {0.0, 1.0}:
            return 1.0 - miss_rate
        return self._chance(self._exponent(miss_rate))

    def trials_expected(self, miss_rate: float) -> float:
        """Return the average sample number at ``miss_rate``, by Wald's closed form.

        Raises
        ------
        UsageError
            If the rate lies outside 0..1.
        """
        _checked(miss_rate)
        chance = self.chance_signed_off(miss_rate)
        drift = miss_rate * self._per_miss + (1 - miss_rate) * self._per_find
        if math.isclose(miss_rate, self.slope, rel_tol=1e-6):
            spread = miss_rate * self._per_miss**2 + (1 - miss_rate) * self._per_find**2
            return -self._lower * self._upper / spread
        return (chance * self._lower + (1 - chance) * self._upper) / drift

    def rate_at(self, h: float) -> float:
        """Return the miss rate of Wald's parameter ``h``: 1 acceptable, 0 slope, -1 unacceptable.

        ``(1 - b**h) / (a**h - b**h)`` with a and b the ratios of the unacceptable to the
        acceptable chance of a miss and of a find. It falls with ``h``.
        """
        if h == 0:
            return self.slope
        a, b = self._per_miss, self._per_find
        # Either form divides by the larger power, so that neither overflows.
        if h > 0:
            return math.exp(-h * a) * math.expm1(h * b) / math.expm1(h * (b - a))
        return math.expm1(-h * b) / math.expm1(h * (a - b))

    def _chance(self, h: float) -> float:
        upper, lower = self._upper, self._lower
        if h == 0:
            return upper / (upper - lower)
        if h > 0:
            return math.expm1(-h * upper) / math.expm1(h * (lower - upper))
        return (math.exp(h * (upper - lower)) - math.exp(-h * lower)) / math.expm1(
            h * (upper - lower)
        )

    def _exponent(self, miss_rate: float) -> float:
        from scipy.optimize import brentq

        if miss_rate == self.slope:
            return 0.0
        end = 1.0 if miss_rate < self.slope else -1.0
        while (self.rate_at(end) - miss_rate) * end > 0:
            end *= 2
        return float(brentq(lambda h: self.rate_at(h) - miss_rate, 0.0, end, xtol=1e-12))

    @property
    def _per_miss(self) -> float:
        return math.log(self.unacceptable / self.acceptable)

    @property
    def _per_find(self) -> float:
        return math.log((1 - self.unacceptable) / (1 - self.acceptable))

    @property
    def _lower(self) -> float:
        return math.log(self.poor_signed_off / (1 - self.good_sent_back))

    @property
    def _upper(self) -> float:
        return math.log((1 - self.poor_signed_off) / self.good_sent_back)


def _checked(miss_rate: float) -> None:
    if not 0 <= miss_rate <= 1:
        raise UsageError(f"a miss rate lies in 0..1, got {miss_rate}")
