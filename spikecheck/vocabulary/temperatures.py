"""How warm it was somewhere, as people or loggers tell it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date, datetime


@dataclass(frozen=True, slots=True)
class DailyReading:
    """Extremes of one local day.

    Parameters
    ----------
    day
        The day.
    min_c, max_c
        Lowest and highest air temperature, degrees C.
    """

    day: date
    min_c: float
    max_c: float


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of a logger.

    Parameters
    ----------
    moment
        When, with a time zone.
    air_c
        Air temperature, degrees C.
    """

    moment: datetime
    air_c: float


@dataclass(frozen=True, slots=True)
class Constant:
    """A room held at one temperature.

    Parameters
    ----------
    air_c
        Degrees C.
    start, end
        From when to when, with time zone; the end may lie ahead.
    """

    air_c: float
    start: datetime
    end: datetime


Temperatures = tuple[DailyReading, ...] | tuple[Reading, ...] | Constant


@dataclass(frozen=True, slots=True)
class Recorded:
    """Temperatures from one source.

    Parameters
    ----------
    temperatures
        Days, readings of a logger (each in order of time, days may be missing), or a constant.
    recorded_at
        When they were recorded, with time zone: over the same time the later recorded ones hold.
    """

    temperatures: Temperatures
    recorded_at: datetime
