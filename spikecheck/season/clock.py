"""Runs on the warmth of one place for one crop: when a spike has gathered so many degree-days."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.season.course import TemperatureCourse
from spikecheck.season.cumulative import CumulativeThermalTime
from spikecheck.season.thermal_time import GrowthRange

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    from spikecheck.season.temperatures import SeasonCourse
    from spikecheck.thresholds.season import SeasonNumbers

# A constant course has no end of its own: longer than any record.
_FROM, _TO = datetime(1970, 1, 1, tzinfo=UTC), datetime(2300, 1, 1, tzinfo=UTC)


class WarmthBasis(StrEnum):
    """What a moment rests on."""

    MEASURED = "measured"
    OUTLOOK = "outlook"
    ASSUMED = "assumed"


@dataclass(frozen=True, slots=True, eq=False)
class ThermalClock:
    """Degree-days of one place and crop, summed once and asked often.

    Parameters
    ----------
    numbers
        Of the crop.
    middle, warm, cold
        The course, and the course with every outlook at its warmest and coldest.
    outlooks
        float64 of shape (N, 2), rising: start and end of every outlook, seconds since the epoch.
    assumed
        Whether no temperature is known and every day is taken to be as warm as ``numbers`` say.
    """

    numbers: SeasonNumbers
    middle: CumulativeThermalTime
    warm: CumulativeThermalTime
    cold: CumulativeThermalTime
    outlooks: NDArray[np.float64]
    assumed: bool

    @classmethod
    def of(cls, season: SeasonCourse, numbers: SeasonNumbers) -> ThermalClock:
        """Return the clock of a place's temperatures."""
        growth = growth_range(numbers)
        outlooks = [(one.start.timestamp(), one.end.timestamp()) for one in season.outlooks]
        return cls(
            numbers,
            CumulativeThermalTime.of(season.course, growth),
            CumulativeThermalTime.of(season.warm, growth),
            CumulativeThermalTime.of(season.cold, growth),
            outlooks=np.array(outlooks).reshape(-1, 2),
            assumed=False,
        )

    @classmethod
    def without_temperatures(cls, numbers: SeasonNumbers) -> ThermalClock:
        """Return the clock of a place of which nothing is known.

        Every day is as warm as the one at which the windows were published in days, so it gives
        those days again.
        """
        growth = growth_range(numbers)

        def at(air_c: float) -> CumulativeThermalTime:
            course = TemperatureCourse.constant(air_c, _FROM, _TO)
            return CumulativeThermalTime.of(course, growth)

        spread = numbers.assumed_spread_c
        return cls(
            numbers, at(numbers.assumed_c), at(numbers.assumed_c + spread),
            at(numbers.assumed_c - spread), outlooks=np.empty((0, 2)), assumed=True,
        )  # fmt: skip

    @classmethod
    def since(
        cls, start: datetime, season: SeasonCourse | None, numbers: SeasonNumbers
    ) -> ThermalClock:
        """Return the clock of a place if its temperatures reach back to ``start``.

        Otherwise, or without temperatures (None), it is that of :meth:`without_temperatures`, as
        ``assumed`` tells.
        """
        if season is not None and season.course.start <= start <= season.course.end:
            return cls.of(season, numbers)
        return cls.without_temperatures(numbers)

    def first_outlook(self, starts: ArrayLike) -> NDArray[np.intp]:
        """Return which outlook comes first after each start, or holds it: its row, or N if none."""
        return np.searchsorted(self.outlooks[:, 1], starts, side="right")

    def basis(self, starts: ArrayLike, seconds: ArrayLike) -> NDArray[np.str_]:
        """Return the :class:`WarmthBasis` of each moment, as its text.

        Parameters
        ----------
        starts
            From when the time runs that ends at each moment, seconds since the epoch.
        seconds
            The moments, of a shape that broadcasts with ``starts``; NaN for what is not reached.
        """
        first, moments = np.broadcast_arrays(
            np.asarray(starts, dtype=np.float64), np.asarray(seconds, dtype=np.float64)
        )
        if self.assumed:
            return np.full(moments.shape, str(WarmthBasis.ASSUMED))
        known_until = np.append(self.outlooks[:, 0], np.inf)[self.first_outlook(first)]
        # What is not reached lies beyond the end, in the outlook.
        known = moments <= known_until
        return np.where(known, str(WarmthBasis.MEASURED), str(WarmthBasis.OUTLOOK))


def growth_range(numbers: SeasonNumbers) -> GrowthRange:
    """Return between which temperatures warmth counts for a crop."""
    return GrowthRange(numbers.base_c, numbers.upper_c)
