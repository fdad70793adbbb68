"""Dates and times of day in a table: ISO 8601, or the day first where that is certain."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, timezone

from spikecheck.season.temperatures.problems import CellError

_YEAR_FIRST = re.compile(r"(\d{4})([-/.])(\d{1,2})\2(\d{1,2})")
_YEAR_LAST = re.compile(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4})")
_TIME = re.compile(
    r"(?P<h>\d{1,2}):(?P<m>\d{2})(?::(?P<s>\d{2})(?:[.,]\d+)?)?\s*(?P<half>[ap]\.?m\.?)?"
    r"\s*(?P<zone>Z|[+-]\d{2}:?\d{2})?",
    re.IGNORECASE,
)
_MONTHS = 12
_HALF_DAY_H = 12


@dataclass(frozen=True, slots=True)
class Stamp:
    """A date as written, with the time of day if there is one.

    Parameters
    ----------
    year
        Four digits.
    first, second
        The two other numbers of the date, in the order of month and day for ``ordered`` dates.
    ordered
        Whether ``first`` is certainly the month.
    clock
        Time of day, with a UTC offset if one is written, or None.
    """

    year: int
    first: int
    second: int
    ordered: bool
    clock: time | None

    def day(self) -> date:
        """Return the date.

        Raises
        ------
        CellError
            If there is no such day.
        """
        month, day = (self.first, self.second) if self.ordered else (self.second, self.first)
        try:
            return date(self.year, month, day)
        except ValueError:
            raise CellError(f"{day}.{month}.{self.year} is no day") from None

    def moment(self, clock: time | None = None) -> datetime:
        """Return date and time of day, without a zone where none is written.

        Raises
        ------
        CellError
            If there is no such day, or no time of day.
        """
        chosen = self.clock or clock
        if chosen is None:
            raise CellError("has no time of day")
        return datetime.combine(self.day(), chosen)


def stamp(text: str) -> Stamp:
    """Return the date in ``text``, with its time of day if there is one.

    Raises
    ------
    CellError
        If it is no date.
    """
    plain = text.strip()
    found = _YEAR_FIRST.match(plain) or _YEAR_LAST.match(plain)
    if found is None:
        raise CellError(f"{plain[:40]!r} is no date like 2026-05-01 or 1.5.2026")
    rest = plain[found.end() :].lstrip("T ,")
    clock = clock_of(rest) if rest else None
    if found.re is _YEAR_FIRST:
        return Stamp(int(found[1]), int(found[3]), int(found[4]), ordered=True, clock=clock)
    if found[2] == ".":  # nobody writes the month first with dots
        return Stamp(int(found[4]), int(found[3]), int(found[1]), ordered=True, clock=clock)
    return Stamp(int(found[4]), int(found[1]), int(found[3]), ordered=False, clock=clock)


def clock_of(text: str) -> time:
    """Return the time of day in ``text``.

    Raises
    ------
    CellError
        If it is none.
    """
    found = _TIME.fullmatch(text.strip())
    if found is None:
        raise CellError(f"{text.strip()[:40]!r} is no time of day like 14:30")
    hour = int(found["h"])
    if found["half"]:
        if not 1 <= hour <= _HALF_DAY_H:
            raise CellError(f"{text.strip()[:40]!r} is no time of day like 2:30 pm")
        hour = hour % _HALF_DAY_H + (_HALF_DAY_H if found["half"][0] in "pP" else 0)
    try:
        return time(hour, int(found["m"]), int(found["s"] or 0), tzinfo=_offset(found["zone"]))
    except ValueError:
        raise CellError(f"{text.strip()[:40]!r} is no time of day like 14:30") from None


def refuse_doubt(stamps: list[Stamp]) -> None:
    """Refuse dates of which it is not certain that the day comes first.

    Raises
    ------
    CellError
        If the month comes first, or no date shows which does.
    """
    unsure = [one for one in stamps if not one.ordered]
    day_first = any(one.first > _MONTHS for one in unsure)
    month_first = any(one.second > _MONTHS for one in unsure)
    if month_first:
        raise CellError(
            "dates with the month first are not taken", cure="write them like 2026-05-31"
        )
    if unsure and not day_first:
        raise CellError(
            "day or month first? No date of the table tells",
            cure="write them like 2026-05-31, or say with --day-first that the day comes first",
        )


def _offset(text: str | None) -> timezone | None:
    if text is None:
        return None
    if text in "Zz":
        return timezone(timedelta())
    sign = -1 if text[0] == "-" else 1
    return timezone(sign * timedelta(hours=int(text[1:3]), minutes=int(text[-2:])))
