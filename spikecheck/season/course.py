"""How warm it was, or will be: daily extremes, a logger's readings, or a constant."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING

from spikecheck.errors import SeasonError
from spikecheck.language import _

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import tzinfo

    from spikecheck.vocabulary.temperatures import DailyReading, Reading

# No air temperature outside of this was ever measured near a crop: such a reading is a unit mixed
# up or a sensor that failed (World Meteorological Organization, world records of air temperature,
# -89.2 and 56.7 degrees C; from memory).
COLDEST_C, WARMEST_C = -90.0, 60.0
_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Stretch:
    """A time of one temperature.

    Parameters
    ----------
    start, end
        UTC; the end is not part of it.
    air_c
        Mean air temperature, degrees C.
    days
        How many days it counts as a whole: a local day counts one, also where the clock changes.
    """

    start: datetime
    end: datetime
    air_c: float
    days: float


@dataclass(frozen=True, slots=True)
class TemperatureCourse:
    """Temperatures without a gap.

    Parameters
    ----------
    stretches
        In order, each beginning where the one before it ends.
    """

    stretches: tuple[Stretch, ...]

    @property
    def start(self) -> datetime:
        """First moment that is known, UTC."""
        return self.stretches[0].start

    @property
    def end(self) -> datetime:
        """Moment up to which it is known, UTC."""
        return self.stretches[-1].end

    @classmethod
    def of_days(cls, days: Iterable[DailyReading], zone: tzinfo) -> TemperatureCourse:
        """Return the course of days, each as warm as the middle of its extremes.

        Raises
        ------
        SeasonError
            If there is none, one is missing, given twice or out of order, or a reading cannot be.
        """
        several = list(days)
        for before, after in pairwise(several):
            if after.day != before.day + _DAY:
                raise SeasonError(
                    _("{day} comes after {before_day}").format(
                        day=after.day, before_day=before.day
                    ),
                    cure=_("Give every day once, in order; fill a gap with your best guess"),
                )
        stretches = []
        for one in several:
            where = str(one.day)
            low, high = _known(one.min_c, where), _known(one.max_c, where)
            if low > high:
                raise SeasonError(
                    _("the lowest temperature {low:g} is above the highest {high:g}").format(
                        low=low, high=high
                    ),
                    where=where,
                    cure=_("Exchange them"),
                )
            start, end = _midnight(one.day, zone), _midnight(one.day + _DAY, zone)
            stretches.append(Stretch(start, end, (low + high) / 2, 1.0))
        return cls._whole(stretches)

    @classmethod
    def of_readings(cls, readings: Iterable[Reading], *, gap_most: timedelta) -> TemperatureCourse:
        """Return the course of a logger: between two readings it is as warm as their middle.

        Parameters
        ----------
        readings
            In order of time, two or more.
        gap_most
            The longest time without a reading that is bridged.

        Raises
        ------
        SeasonError
            If there are fewer than two, they are out of order, too far apart, without a time zone,
            or one cannot be.
        """
        stretches = []
        for before, after in pairwise(readings):
            where = after.moment.isoformat()
            start, end = _utc(before.moment), _utc(after.moment)
            if not start < end:
                raise SeasonError(
                    _("comes after {moment}").format(moment=before.moment.isoformat()),
                    where=where,
                    cure=_("Put the readings in order of time, each once"),
                )
            if end - start > gap_most:
                raise SeasonError(
                    _("no reading since {moment}").format(moment=before.moment.isoformat()),
                    where=where,
                    cure=_("Add the readings that are missing, or give daily extremes instead"),
                )
            middle = (_known(before.air_c, where) + _known(after.air_c, where)) / 2
            stretches.append(Stretch(start, end, middle, (end - start) / _DAY))
        return cls._whole(stretches)

    @classmethod
    def constant(cls, air_c: float, start: datetime, end: datetime) -> TemperatureCourse:
        """Return the course of a room held at one temperature.

        Raises
        ------
        SeasonError
            If the end is not after the start, or the temperature cannot be.
        """
        first, last = _utc(start), _utc(end)
        if not first < last:
            raise SeasonError(_("the end is not after the start"), where=end.isoformat())
        return cls((Stretch(first, last, _known(air_c, "constant"), (last - first) / _DAY),))

    @classmethod
    def _whole(cls, stretches: list[Stretch]) -> TemperatureCourse:
        if not stretches:
            raise SeasonError(
                _("too few temperatures"), cure=_("Give one day or more, or two readings or more")
            )
        return cls(tuple(stretches))


def _known(air_c: float, where: str) -> float:
    if math.isfinite(air_c) and COLDEST_C <= air_c <= WARMEST_C:
        return air_c
    raise SeasonError(
        _("{air_c:g} cannot be an air temperature in degrees C").format(air_c=air_c),
        where=where,
        cure=_("Correct it; is it in degrees F?"),
    )


def _utc(moment: datetime) -> datetime:
    if moment.tzinfo is None:
        raise SeasonError(
            _("has no time zone"), where=moment.isoformat(), cure=_("Say which, such as +02:00")
        )
    return moment.astimezone(UTC)


def _midnight(day: date, zone: tzinfo) -> datetime:
    return datetime.combine(day, time(), zone).astimezone(UTC)
