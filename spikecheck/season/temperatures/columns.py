"""Which column of a table holds what: by the words of its header, or by its first row."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from datetime import timedelta, timezone
from typing import TYPE_CHECKING

from spikecheck.season.temperatures.cells import air_c
from spikecheck.season.temperatures.dates import clock_of, stamp
from spikecheck.season.temperatures.problems import CellError

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import tzinfo

_DAY = {"date", "day", "datum", "tag", "fecha", "data", "jour", "timestamp", "datetime", "moment"}
_CLOCK = {"time", "hour", "clock", "uhrzeit", "zeit", "hora", "heure"}
_AIR = {"temp", "temperature", "temperatur", "temperatura", "température", "air", "t"}
_LOW = {"min", "minimum", "lowest", "low", "tmin", "mínima"}
_HIGH = {"max", "maximum", "highest", "high", "tmax", "máxima"}
_MEAN = {"mean", "avg", "average", "mittel", "media"}
_OTHER = {
    "soil", "dew", "water", "leaf", "humidity", "rh", "battery", "wet", "canopy", "point",
    "pressure",
}  # fmt: skip
_FAHRENHEIT = {"f", "fahrenheit", "degf"}
_UNIT = {"unit", "units", "scale", "deg", "degree", "degrees", "einheit", "unidad", "unité"}
_ZONE = {"zone", "timezone", "zona", "zeitzone", "fuseau"}
_EXTREMES = 2  # columns: lowest and highest
_OFFSET = re.compile(r"\b(?:UTC|GMT)\s*(?:([+-])\s*(\d{1,2})(?::?(\d{2}))?)?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Columns:
    """Where a table holds what; indices from 0, None where there is no such column.

    Parameters
    ----------
    day
        The date, alone or with the time of day.
    clock
        The time of day, where it has a column of its own.
    air
        One temperature.
    low, high
        Lowest and highest temperature of a day.
    zone
        Of times without an offset, where the header tells it.
    """

    day: int
    clock: int | None = None
    air: int | None = None
    low: int | None = None
    high: int | None = None
    zone: tzinfo | None = None


def holds(parse: Callable[[str], object], cell: str) -> bool:
    """Return whether ``parse`` takes a cell."""
    try:
        parse(cell)
    except CellError:
        return False
    return True


def is_header(row: list[str]) -> bool:
    """Return whether no cell of ``row`` begins with a date."""
    return not any(holds(stamp, cell) for cell in row)


def may_date(cell: str) -> bool:
    """Return whether a column of this header may hold the date, alone or with the time of day."""
    return bool(_words(cell) & (_DAY | _CLOCK))


def tells_fahrenheit(line: str) -> bool:
    """Return whether a line above a table tells that temperatures are in degrees F.

    A lone F may be a house or a name as well: it counts beside a degree sign or the word for what
    has a unit.
    """
    words = _words(line)
    if "f" in words and ("\N{DEGREE SIGN}" in _composed(line) or words & (_AIR | _UNIT)):
        return True
    return bool(words & (_FAHRENHEIT - {"f"}))


def tells_zone(line: str) -> tzinfo | None:
    """Return the zone of all times that a line above a table tells; None where it tells none.

    UTC or GMT alone does not count: it may belong to the time at which the logger was read.

    Raises
    ------
    CellError
        If it speaks of a zone that is not given as UTC or GMT with its offset.
    """
    if not _words(line) & _ZONE:
        return None
    told = {match[0] for match in _OFFSET.finditer(line)}
    if len(told) != 1:
        raise CellError(f"{line.strip()[:40]!r} does not tell the time zone as UTC+02:00 does")
    return _zone(line)


def columns_of_header(row: list[str]) -> Columns:
    """Return what each column of a header holds.

    Raises
    ------
    CellError
        If a column is missing, named twice, or in degrees F.
    """
    words = [_words(cell) for cell in row]
    days = [k for k, several in enumerate(words) if several & _DAY]
    clocks = [k for k, several in enumerate(words) if several & _CLOCK and k not in days]
    if not days and len(clocks) == 1:  # a lone "time" column holds the date too
        days, clocks = clocks, []
    air = [
        k for k, several in enumerate(words)
        if several & (_AIR | _LOW | _HIGH) and not several & _OTHER and k not in (*days, *clocks)
    ]  # fmt: skip
    low = [k for k in air if words[k] & _LOW]
    high = [k for k in air if words[k] & _HIGH]
    plain = [k for k in air if k not in (*low, *high)]
    plain = [k for k in plain if "air" in words[k]] or plain
    day = _only(row, days, "the date", "date, day or timestamp")
    clock = _only(row, clocks, "the time of day", "time") if clocks else None
    zone = _zone(row[day]) or (None if clock is None else _zone(row[clock]))
    if low and high and all(words[k] & _MEAN for k in plain):
        lowest = _only(row, low, "the lowest temperature", "min")
        highest = _only(row, high, "the highest temperature", "max")
        found = Columns(day, clock, low=lowest, high=highest, zone=zone)
    else:
        only = _only(row, plain, "the temperature", "temperature, or min and max")
        found = Columns(day, clock, air=only, zone=zone)
    for column in (found.air, found.low, found.high):
        if column is not None and words[column] & _FAHRENHEIT:
            raise CellError(f"{row[column].strip()[:40]!r} is in degrees F; change it to degrees C")
    return found


def columns_of_row(row: list[str]) -> Columns:
    """Return what each column holds of a table without a header, from its first row.

    Raises
    ------
    CellError
        If it does not hold a moment and a temperature, or a day and its two extremes.
    """
    day = next(k for k, cell in enumerate(row) if holds(stamp, cell))
    timed = stamp(row[day]).clock is not None
    clock = None
    if not timed and day + 1 < len(row) and holds(clock_of, row[day + 1]):
        clock, timed = day + 1, True
    numbers = [k for k in range((clock or day) + 1, len(row)) if holds(air_c, row[k])]
    if timed and len(numbers) == 1:
        return Columns(day, clock, air=numbers[0])
    if not timed and len(numbers) == _EXTREMES:
        return Columns(day, low=numbers[0], high=numbers[1])
    raise CellError(
        "without a header a line holds date, time and one temperature, or a date with its lowest "
        "and highest; give the columns names"
    )


def _zone(text: str) -> tzinfo | None:
    """Return the zone that text such as ``Time (UTC+02:00)`` tells, or None."""
    found = _OFFSET.search(text)
    if found is None:
        return None
    sign = -1 if found[1] == "-" else 1
    return timezone(sign * timedelta(hours=int(found[2] or 0), minutes=int(found[3] or 0)))


def _composed(text: str) -> str:
    """Return it with one sign for degrees, and its unit a letter (NFKC, Unicode annex 15)."""
    plain = text.replace("\N{MASCULINE ORDINAL INDICATOR}", "\N{DEGREE SIGN}")
    return unicodedata.normalize("NFKC", plain)


def _words(cell: str) -> set[str]:
    apart = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", _composed(cell))
    return set(re.findall(r"[^\W\d_]+", apart.lower()))


def _only(row: list[str], found: list[int], what: str, words: str) -> int:
    if len(found) == 1:
        return found[0]
    named = ", ".join(repr(row[k].strip()[:40]) for k in found)
    if found:
        raise CellError(f"several columns could hold {what}: {named}; keep one")
    seen = ", ".join(repr(cell.strip()[:40]) for cell in row)
    raise CellError(f"no column holds {what}; name one {words}. Columns: {seen}")
