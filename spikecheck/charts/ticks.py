"""Round numbers along an axis."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.language import number, percent

if TYPE_CHECKING:
    from collections.abc import Iterable

_ROUND = (1.0, 2.0, 2.5, 5.0, 10.0)
_FEWEST_TICKS = 2
_NOTHING = 1e-12  # what differs by less is one value


@dataclass(frozen=True, slots=True)
class Ticks:
    """Where an axis is marked.

    Parameters
    ----------
    at
        Values, rising.
    digits
        Decimals they need; of the per cents where shares are shown so.
    as_percent
        Whether they are shares.
    """

    at: tuple[float, ...]
    digits: int
    as_percent: bool

    def words(self) -> list[str]:
        """Return what is written at each of them."""
        write = percent if self.as_percent else number
        return [write(value, self.digits) for value in self.at]


def ticks(low: float, high: float, *, most: int, as_percent: bool, whole: bool) -> Ticks:
    """Return the round values from ``low`` to ``high``, at most ``most`` or about as many.

    Parameters
    ----------
    low, high
        Ends of the axis, the second larger.
    most
        How many have room; two or more are returned where the axis holds two.
    as_percent
        Whether values are shares, shown as per cent.
    whole
        Whether only whole numbers are meant, such as sessions.
    """
    step = _step((high - low) / max(most - 1, 1), whole=whole)
    # What was worked out may miss a round number by a rounding.
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    if last - first + 1 < _FEWEST_TICKS and not whole:
        step = _step((high - low) / (2 * _FEWEST_TICKS), whole=whole)
        first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    at = tuple(round(k * step, 12) for k in range(first, last + 1))
    return Ticks(at, _digits(100 * step if as_percent else step), as_percent)


def axis_ends(values: Iterable[float], *, as_percent: bool) -> tuple[float, float]:
    """Return the ends of a y axis that holds all values: it begins at 0 unless that wastes room.

    Per cents begin at 0 and never go beyond 100 unless a value does.
    """
    known = list(values)
    if not known:
        return 0.0, 1.0
    low, high = min(known), max(known)
    if low > 0 and (as_percent or low < high / 2):
        low = 0.0
    if high - low < _NOTHING:
        if abs(low) >= _NOTHING:
            low, high = min(low, 0.0), max(high, 0.0)
        else:
            high = 0.1 if as_percent else 1.0
    step = _step((high - low) / 4, whole=False)
    rounded = math.ceil(high / step - 1e-9) * step
    ceiling = 1.0 if as_percent and high <= 1 else math.inf
    return math.floor(low / step + 1e-9) * step, min(rounded, ceiling)


def _step(least: float, *, whole: bool) -> float:
    """Return the smallest round step of ``least`` or more."""
    power = 10.0 ** math.floor(math.log10(least))
    step = next(power * factor for factor in _ROUND if power * factor >= least * (1 - 1e-9))
    return max(float(math.ceil(step)), 1.0) if whole else step


def _digits(step: float) -> int:
    """Return how many decimals show multiples of ``step``."""
    return next((d for d in range(8) if math.isclose(step, round(step, d), rel_tol=1e-6)), 8)
