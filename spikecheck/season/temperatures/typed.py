"""What people type: daily extremes, ``2026-05-01 8/21``, one day a line, or one temperature."""

from __future__ import annotations

import re
from datetime import date
from typing import TYPE_CHECKING

from spikecheck.errors import SeasonError
from spikecheck.season.course import TemperatureCourse
from spikecheck.season.temperatures.cells import SHOWN, air_c, refuse_so_hot
from spikecheck.season.temperatures.problems import CellError, Problems
from spikecheck.vocabulary.temperatures import Constant, DailyReading

if TYPE_CHECKING:
    from datetime import datetime

_LINE = re.compile(r"(?P<day>\S+)\s+(?P<low>[^/]+?)\s*/\s*(?P<high>[^/]+)")


def typed_days(text: str) -> tuple[DailyReading, ...]:
    """Return the days of ``text``, in order of the day.

    Each line holds a day (``2026-05-01``), the lowest and the highest temperature, degrees C, with
    a stroke between them; empty lines are skipped.

    Raises
    ------
    TableError
        If a line cannot be understood or a day is given twice; the message names each. If it is
        so hot that it must be degrees F.
    """
    problems = Problems("typed temperatures")
    days: dict[date, DailyReading] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip():
            continue
        try:
            one = _day(line.strip())
        except CellError as error:
            problems.add(number, None, error)
            continue
        if one.day in days:
            problems.add(number, None, f"{one.day} is given twice")
        days[one.day] = one
    if not days and not problems:
        problems.add(1, None, "there is no day; write for example 2026-05-01 8/21")
    try:
        refuse_so_hot([value for one in days.values() for value in (one.min_c, one.max_c)])
    except CellError as error:
        problems.add(1, None, error)
    problems.raise_if_any()
    return tuple(days[day] for day in sorted(days))


def typed_constant(air_c: float, start: datetime, end: datetime) -> Constant:
    """Return the temperature of a room held at one.

    Raises
    ------
    SeasonError
        If the end is not after the start, or the temperature cannot be.
    """
    TemperatureCourse.constant(air_c, start, end)
    try:
        refuse_so_hot([air_c])
    except CellError as error:
        raise SeasonError(
            f"no crop is kept at {air_c:g} degrees C", cure="Correct it; is it in degrees F?"
        ) from error
    return Constant(air_c, start, end)


def _day(line: str) -> DailyReading:
    parts = _LINE.fullmatch(line)
    if parts is None:
        raise CellError(f"{line[:SHOWN]!r} is not like 2026-05-01 8/21")
    try:
        day = date.fromisoformat(parts["day"])
    except ValueError:
        raise CellError(f"{parts['day'][:SHOWN]!r} is no day like 2026-05-01") from None
    return in_order(DailyReading(day, air_c(parts["low"]), air_c(parts["high"])))


def in_order(one: DailyReading) -> DailyReading:
    """Return the day as it is.

    Raises
    ------
    CellError
        If its lowest temperature is above its highest.
    """
    if one.min_c > one.max_c:
        raise CellError(f"the lowest temperature {one.min_c:g} is above the highest {one.max_c:g}")
    return one
