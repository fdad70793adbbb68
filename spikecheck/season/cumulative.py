"""Thermal time of many spikes at once: summed once, looked up by interpolation.

Gives what :func:`spikecheck.season.thermal_time.thermal_time` and
:func:`~spikecheck.season.thermal_time.moment_reached` give, for arrays.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    from spikecheck.season.course import TemperatureCourse
    from spikecheck.season.thermal_time import GrowthRange


@dataclass(frozen=True, slots=True, eq=False)
class CumulativeThermalTime:
    """Thermal time since the start of a course.

    Parameters
    ----------
    seconds
        float64 of shape (N + 1,), rising: ends of the course's N stretches, seconds since the
        epoch (1970-01-01 UTC); the first is its start.
    degree_days
        float64 of shape (N + 1,), never falling: degree-days gone by then.
    """

    seconds: NDArray[np.float64]
    degree_days: NDArray[np.float64]

    @classmethod
    def of(cls, course: TemperatureCourse, growth: GrowthRange) -> CumulativeThermalTime:
        """Sum up a course."""
        stretches = course.stretches
        seconds = [course.start.timestamp(), *(one.end.timestamp() for one in stretches)]
        air_c = np.array([one.air_c for one in stretches])
        days = np.array([one.days for one in stretches])
        brings = (np.clip(air_c, growth.base_c, growth.upper_c) - growth.base_c) * days
        return cls(np.array(seconds), np.concatenate(([0.0], np.cumsum(brings))))

    def knows(self, seconds: ArrayLike) -> NDArray[np.bool_]:
        """Return whether the course reaches each moment."""
        moments = np.asarray(seconds, dtype=np.float64)
        return np.asarray((self.seconds[0] <= moments) & (moments <= self.seconds[-1]))

    def between(self, start: ArrayLike, end: ArrayLike) -> NDArray[np.float64]:
        """Return the degree-days from each start to each end; NaN where one is not known."""
        first, last = np.asarray(start, dtype=np.float64), np.asarray(end, dtype=np.float64)
        known = self.knows(first) & self.knows(last)
        return np.where(known, self._at(last) - self._at(first), np.nan)

    def reached(self, start: ArrayLike, degree_days: ArrayLike) -> NDArray[np.float64]:
        """Return when so much has gone since each start; NaN where not by the end.

        Parameters
        ----------
        start
            Seconds since the epoch; NaN comes out where the course does not know it.
        degree_days
            0 or more, of a shape that broadcasts with ``start``.

        Returns
        -------
        ndarray
            float64, seconds since the epoch: the first moment at which so much has gone.
        """
        first, wanted = np.broadcast_arrays(
            np.asarray(start, dtype=np.float64), np.asarray(degree_days, dtype=np.float64)
        )
        target = self._at(first) + wanted
        # The first stretch that ends with enough; where nothing grows several ends have the same.
        after = np.searchsorted(self.degree_days, target, side="left")
        there = after < len(self.degree_days)
        high = np.clip(after, 1, len(self.degree_days) - 1)
        low = high - 1
        rise = self.degree_days[high] - self.degree_days[low]
        part = np.clip(target - self.degree_days[low], 0, rise)  # beyond the end it is not there
        share = np.divide(part, rise, out=np.zeros_like(target), where=rise > 0)
        moment = self.seconds[low] + share * (self.seconds[high] - self.seconds[low])
        return np.where(there & self.knows(first), np.maximum(moment, first), np.nan)

    def _at(self, moments: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.asarray(np.interp(moments, self.seconds, self.degree_days))


def moment_of(seconds: float) -> datetime | None:
    """Return the moment of seconds since the epoch, UTC, or None for NaN."""
    return None if seconds != seconds else datetime.fromtimestamp(seconds, UTC)  # noqa: PLR0124
