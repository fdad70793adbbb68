"""Thermal time: how far warmth has carried a spike, and when it will have come so far.

The sum over days of the mean of daily extremes above a base temperature; above an upper temperature
more warmth brings nothing more. Parts of a day count by their share.

Sources
-------
Rawson HM, Macpherson HG (2000), Irrigated wheat, FAO (X8234E): the sum of (Tmax + Tmin) / 2 above
the base; base 0 and upper temperature about 30 degrees C for wheat.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC
from typing import TYPE_CHECKING

from spikecheck.errors import SeasonError
from spikecheck.language import _, day_and_time

if TYPE_CHECKING:
    from datetime import datetime

    from spikecheck.season.course import Stretch, TemperatureCourse


@dataclass(frozen=True, slots=True)
class GrowthRange:
    """Between which temperatures warmth counts.

    Parameters
    ----------
    base_c, upper_c
        Degrees C; below the first nothing counts, above the second as much as at it.

    Raises
    ------
    SeasonError
        If the upper one is not above the base.
    """

    base_c: float
    upper_c: float

    def __post_init__(self) -> None:
        if not self.base_c < self.upper_c:
            raise SeasonError(
                _("the upper temperature {upper_c:g} is not above the base {base_c:g}").format(
                    upper_c=self.upper_c, base_c=self.base_c
                )
            )

    def effective_c(self, air_c: float) -> float:
        """Return the degrees above the base that count."""
        return min(max(air_c, self.base_c), self.upper_c) - self.base_c


def thermal_time(
    course: TemperatureCourse, start: datetime, end: datetime, growth: GrowthRange
) -> float:
    """Return the thermal time from ``start`` to ``end``, degree-days.

    Raises
    ------
    SeasonError
        If the end is before the start, or the course does not reach that far.
    """
    _reaches(course, start)
    _reaches(course, end)
    if end < start:
        raise SeasonError(_("the end is before the start"), where=end.isoformat())
    return sum(_effective_days(one, growth) * _share(one, start, end) for one in course.stretches)


def moment_reached(
    course: TemperatureCourse, start: datetime, degree_days: float, growth: GrowthRange
) -> datetime | None:
    """Return when so much thermal time has gone since ``start``, UTC, or None if not by the end.

    Raises
    ------
    SeasonError
        If the course does not know the start, or less than nothing is asked for.
    """
    _reaches(course, start)
    if not degree_days >= 0:
        raise SeasonError(
            _("{degree_days:g} degree-days cannot be reached").format(degree_days=degree_days)
        )
    left, here = degree_days, start.astimezone(UTC)
    if left == 0:
        return here
    for one in course.stretches:
        if one.end <= here:
            continue
        brings = _effective_days(one, growth) * _share(one, here, one.end)
        if brings >= left:
            return here + (one.end - here) * (left / brings)
        left, here = left - brings, one.end
    return None


def _effective_days(one: Stretch, growth: GrowthRange) -> float:
    return growth.effective_c(one.air_c) * one.days


def _share(one: Stretch, start: datetime, end: datetime) -> float:
    """Return which share of a stretch lies between two moments."""
    first, last = max(one.start, start), min(one.end, end)
    return (last - first) / (one.end - one.start) if first < last else 0.0


def _reaches(course: TemperatureCourse, moment: datetime) -> None:
    if moment.tzinfo is None:
        raise SeasonError(_("has no time zone"), where=moment.isoformat())
    if not course.start <= moment <= course.end:
        raise SeasonError(
            _("temperatures are known from {start} to {end} UTC only").format(
                start=day_and_time(course.start), end=day_and_time(course.end)
            ),
            where=moment.isoformat(),
            cure=_("Add the days that are missing"),
        )
