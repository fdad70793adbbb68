"""What is known of a place's temperatures, in plain lines."""

from __future__ import annotations

import difflib
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from spikecheck.bookkeeping.local_time import local_zone
from spikecheck.bookkeeping.season_of_store import season_of
from spikecheck.errors import UsageError
from spikecheck.vocabulary.cross import WHEAT
from spikecheck.vocabulary.temperatures import Constant, DailyReading, Reading

if TYPE_CHECKING:
    from collections.abc import Iterator
    from zoneinfo import ZoneInfo

    from spikecheck.store import Store
    from spikecheck.vocabulary.temperatures import Temperatures


def reach_text(temperatures: Temperatures, zone: ZoneInfo) -> str:
    """Return how many there are, from when to when in local time of ``zone``, which is named."""
    if isinstance(temperatures, Constant):
        return f"{temperatures.air_c:g} °C from {_span(temperatures.start, temperatures.end, zone)}"
    first, last = temperatures[0], temperatures[-1]
    if isinstance(first, DailyReading) and isinstance(last, DailyReading):
        days = "1 day" if len(temperatures) == 1 else f"{len(temperatures)} days"
        return f"{days}, {first.day} to {last.day}"
    if isinstance(first, Reading) and isinstance(last, Reading):
        return f"{len(temperatures)} readings, {_span(first.moment, last.moment, zone)}"
    return ""


def unknown_place_remark(store: Store, place: str) -> str:
    """Return what to look at when no crossing session is at a place, or an empty text."""
    known = {session.place for session in store.sessions.all() if session.place}
    if not known or place in known:
        return ""
    near = difflib.get_close_matches(place, known, n=1)
    meant = near[0] if near else ", ".join(sorted(known))
    return f"no crossing session is at {place}; sessions are at {meant}."


def temperature_lines(store: Store, place: str) -> Iterator[str]:
    """Yield a line for each source of a place, and what they come to together.

    Raises
    ------
    UsageError
        If no temperature of it is recorded; the message names places that have some.
    """
    zone = local_zone()
    sources = [one for one in store.temperatures.sources() if one.place == place]
    if not sources:
        known = sorted({one.place for one in store.temperatures.sources()})
        cure = f"Known are {', '.join(known)}" if known else "Record some first"
        raise UsageError(f"no temperature of {place} is recorded", cure=cure)
    for source, recorded in zip(sources, store.temperatures.of_place(place), strict=True):
        file = f", from {source.file_name}" if source.file_name else ""
        yield (
            f"{reach_text(recorded.temperatures, zone)}{file}, recorded "
            f"{_shown(source.recorded_at, zone)} by {source.recorded_by}"
        )
    season = season_of(store, now=datetime.now(UTC))
    course = season.course(place, season.numbers(WHEAT))
    if course is None:
        yield "Together they tell of no time yet: a single reading has none after it"
        return
    for gap in course.gaps:
        yield (
            f"Not known: {_span(gap.start, gap.end, zone)}; {gap.air_c:.1f} ± "
            f"{gap.spread_c:.1f} °C are expected, as in the days before"
        )
    if course.ahead is None:
        yield f"Known up to {_shown(course.course.end, zone)}"
    else:
        yield (
            f"Known up to {_shown(course.ahead.start, zone)}; after that "
            f"{course.ahead.air_c:.1f} ± {course.ahead.spread_c:.1f} °C are expected, "
            "as in the last days"
        )


def _shown(moment: datetime, zone: ZoneInfo) -> str:
    return f"{_local(moment, zone)} ({zone.key})"


def _span(start: datetime, end: datetime, zone: ZoneInfo) -> str:
    return f"{_local(start, zone)} to {_shown(end, zone)}"


def _local(moment: datetime, zone: ZoneInfo) -> str:
    return f"{moment.astimezone(zone):%Y-%m-%d %H:%M}"
