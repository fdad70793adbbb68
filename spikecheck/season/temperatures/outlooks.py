"""How warm it is taken to be where no temperature is known: as in the last days before."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from numpy.typing import NDArray

    from spikecheck.season.course import Stretch
    from spikecheck.thresholds.season import SeasonNumbers

_DAY = timedelta(days=1)
_WHOLE_DAYS_LEAST = 2  # a spread needs two
_SECOND = 1.0  # sums of floats are not exact


@dataclass(frozen=True, slots=True)
class Outlook:
    """How warm a time is taken to be of which no temperature is known.

    Parameters
    ----------
    start
        Up to when the temperatures before it are known, UTC.
    end
        When the next ones begin, UTC, or how far the course goes.
    air_c
        Mean of what is known of the last days before it, degrees C.
    spread_c
        How much warmer or colder it may stay, degrees C: the standard deviation of the means of
        those of the last days that are known whole, or an assumed one with fewer than two. Coming
        days are taken to be off all the same way, as a warm or a cold
        spell is, so the spread of their mean does not shrink with their number.
    """

    start: datetime
    end: datetime
    air_c: float
    spread_c: float


@dataclass(frozen=True, slots=True, eq=False)
class Known:
    """What is known, summed up to each start and end of a stretch, in order of time.

    Arrays are float64 of shape (2 N,) for N stretches.

    Parameters
    ----------
    at
        Seconds since the epoch.
    seconds
        For how long temperatures are known by then.
    warmth
        Degrees C times seconds by then.
    """

    at: NDArray[np.float64]
    seconds: NDArray[np.float64]
    warmth: NDArray[np.float64]

    @classmethod
    def of(cls, stretches: Sequence[Stretch]) -> Known:
        """Sum up stretches, one or more in order of time; gaps between them add nothing."""
        at = np.array([(one.start.timestamp(), one.end.timestamp()) for one in stretches])
        lasting = at[:, 1] - at[:, 0]
        air_c = np.array([one.air_c for one in stretches])

        def summed(several: NDArray[np.float64]) -> NDArray[np.float64]:
            total = np.cumsum(several)
            return np.stack((np.concatenate(([0.0], total[:-1])), total), axis=1).ravel()

        return cls(at.ravel(), summed(lasting), summed(lasting * air_c))

    def between(self, edges: NDArray[np.float64]) -> tuple[NDArray[np.float64], ...]:
        """Return the seconds known, and their warmth, between each two rising edges."""
        return tuple(
            np.diff(np.interp(edges, self.at, total)) for total in (self.seconds, self.warmth)
        )


def outlook_of(known: Known, start: datetime, end: datetime, numbers: SeasonNumbers) -> Outlook:
    """Return the outlook from ``start``, up to which temperatures are known, to ``end``."""
    last, day = start.timestamp(), _DAY.total_seconds()
    seconds, warmth = known.between(np.array([last - numbers.outlook_days * day, last]))
    air_c = float(warmth[0] / seconds[0])
    whole = int(numbers.outlook_days)
    edges = last - day * np.arange(whole, -1, -1, dtype=np.float64)  # days of 24 h
    seconds, warmth = known.between(edges)
    full = seconds > day - _SECOND
    means = warmth[full] / seconds[full]
    spread = np.std(means, ddof=1) if len(means) >= _WHOLE_DAYS_LEAST else numbers.assumed_spread_c
    return Outlook(start, end, air_c, float(spread))
