"""Moments as people type them, in the time zone of the place of work."""

from __future__ import annotations

import os
import re
from datetime import UTC, datetime, time
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from spikecheck.errors import UsageError
from spikecheck.language import _
from spikecheck.store.moments import YEARS

if TYPE_CHECKING:
    from datetime import date

ZONE_VARIABLE = "SPIKECHECK_ZONE"
_NOON = time(12)
# Stricter than ISO 8601, by which 09.30 is no half past nine.
_WHOLE = re.compile(
    r"\d{4}-\d\d-\d\d[ T]\d\d:\d\d(?::\d\d(?:\.\d+)?)?(?:Z|[+-]\d\d:\d\d(?::\d\d(?:\.\d+)?)?)?",
    re.ASCII,
)


def local_zone() -> ZoneInfo:
    """Return the time zone: the one SPIKECHECK_ZONE names (IANA), or else this machine's.

    Raises
    ------
    UsageError
        If there is no zone of that name.
    """
    named = os.environ.get(ZONE_VARIABLE)
    if named:
        return zone_named(named)
    from tzlocal import get_localzone

    return get_localzone()


def zone_named(name: str) -> ZoneInfo:
    """Return the time zone of an IANA name; UsageError if there is none."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise UsageError(
            _("no time zone is called {name}").format(name=name),
            cure=_("Name it like Europe/Rome (IANA)"),
        ) from error


def read_moment(text: str | None, *, now: datetime, zone: ZoneInfo) -> datetime:
    """Return the moment ``text`` means, UTC.

    Parameters
    ----------
    text
        ``2026-05-04 09:30``, with or without an offset such as ``+02:00``; ``2026-05-04`` is noon
        of that day, or now if that is today; ``09:30`` is today; None is now. A time that clocks
        skip in spring is as if they had not been put forward; of one that comes twice in autumn
        the first is meant.
    now
        With time zone.
    zone
        Of moments without an offset.

    Raises
    ------
    UsageError
        If it is none of these, or in a year that no season can be of.
    """
    if text is None:
        return now.astimezone(UTC)
    local = now.astimezone(zone)
    given = text.strip()
    for read in (_of_day, _of_clock, _whole):
        moment = read(given, local)
        if moment is not None:
            if moment.year not in YEARS:
                raise UsageError(
                    _("{given!r} is in the year {year}").format(given=given[:40], year=moment.year),
                    cure=_("Correct it"),
                )
            return moment.astimezone(UTC)
    raise UsageError(
        _("{given!r} is no moment").format(given=given[:40]),
        cure=_("Write it like 2026-05-04 09:30, 2026-05-04 or 09:30"),
    )


def local_day(moment: datetime, zone: ZoneInfo) -> date:
    """Return the local day of a moment."""
    return moment.astimezone(zone).date()


def _of_day(text: str, local: datetime) -> datetime | None:
    try:
        day = datetime.strptime(text, "%Y-%m-%d").date()  # noqa: DTZ007  (a day has no zone)
    except ValueError:
        return None
    if day == local.date():
        return local
    return datetime.combine(day, _NOON, local.tzinfo)


def _of_clock(text: str, local: datetime) -> datetime | None:
    try:
        clock = datetime.strptime(text, "%H:%M").time()  # noqa: DTZ007  (the zone follows)
    except ValueError:
        return None
    return datetime.combine(local.date(), clock, local.tzinfo)


def _whole(text: str, local: datetime) -> datetime | None:
    if _WHOLE.fullmatch(text) is None:
        return None
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        return None
    return moment if moment.tzinfo is not None else moment.replace(tzinfo=local.tzinfo)
