"""The agenda as a calendar file for any calendar program.

References
----------
RFC 5545 (2009), Internet Calendaring and Scheduling Core Object Specification (iCalendar).
RFC 7986 (2016), New Properties for iCalendar, section 5.3: a UID is a UUID, telling nothing of
whoever made it.
"""

from __future__ import annotations

import unicodedata
from datetime import UTC, timedelta
from typing import TYPE_CHECKING
from uuid import UUID, uuid5

from spikecheck.errors import SeasonError
from spikecheck.language import _, without_isolates
from spikecheck.season.agenda.grouping import spike_list

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date, datetime

    from icalendar import Event

    from spikecheck.season.agenda.grouping import TaskGroup

# Drawn once at random; UIDs of this package are named below it.
_NAMESPACE = UUID("5a3c0d5e-6f0b-4b6e-9a53-1c2f8f6d7e41")
_DAY = timedelta(days=1)


def agenda_calendar(
    groups: Iterable[TaskGroup],
    *,
    now: datetime,
    store: str,
    alarm: timedelta | None = timedelta(hours=7),
) -> bytes:
    """Return groups of tasks as a calendar, one event each, all day long.

    Temperatures tell the day, not the hour, so an event takes the day and blocks no time in it. A
    group keeps its UID from file to file while its first spike waits for the same step: a calendar
    that takes in a newer file moves the event instead of adding another.

    Parameters
    ----------
    groups
        Those without a day are left out.
    now
        With time zone; the later file holds.
    store
        Tells these records from those of others, such as the store's id; the same every time.
    alarm
        How long after the local midnight that begins the day a message is shown, or None for none.

    Returns
    -------
    bytes
        UTF-8, lines ended by CRLF and folded at 75 octets.

    Raises
    ------
    SeasonError
        If ``now`` has no time zone.
    """
    from icalendar import Calendar

    if now.tzinfo is None:
        raise SeasonError(_("has no time zone"), where=now.isoformat())
    calendar = Calendar()
    calendar.add("prodid", "-//spikecheck//agenda//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    for group in groups:
        if group.day is not None:
            calendar.add_component(_event(group, group.day, now=now, store=store, alarm=alarm))
    return bytes(calendar.to_ical())


def _event(
    group: TaskGroup, day: date, *, now: datetime, store: str, alarm: timedelta | None
) -> Event:
    from icalendar import Alarm, Event

    summary = _printable(f"{group.to_do}: {group.title}")
    event = Event()
    event.add("uid", str(_uid(group, store)))
    event.add("dtstamp", now.astimezone(UTC))
    event.add("dtstart", day)
    event.add("dtend", day + _DAY)  # exclusive: RFC 5545, 3.6.1
    event.add("transp", "TRANSPARENT")
    event.add("summary", summary)
    event.add("description", "\n".join(_lines(group)))
    places = dict.fromkeys(task.place for task in group.tasks if task.place)
    if places:
        event.add("location", _printable(", ".join(places)))
    if alarm is not None:
        reminder = Alarm()
        reminder.add("action", "DISPLAY")
        reminder.add("description", summary)
        reminder.add("trigger", alarm)
        event.add_component(reminder)
    return event


def _uid(group: TaskGroup, store: str) -> UUID:
    # No name or id can hold U+0000, so no two lists of them make the same text.
    return uuid5(_NAMESPACE, "\0".join([store, group.cross, group.kind, str(group.spikes[0])]))


def _lines(group: TaskGroup) -> list[str]:
    """Return what to do in words, once for all spikes of which the same is true."""
    spikes: dict[str, list[int]] = {}
    for task in group.tasks:
        spikes.setdefault(task.sentence, []).append(task.spike)
    return [_printable(f"{spike_list(several)}: {text}") for text, several in spikes.items()]


def _printable(text: str) -> str:
    """Return ``text`` with a blank for every control character: TEXT must hold none (3.1).

    Names go in as they were typed, whoever makes the file: a page or a command.
    """
    return "".join(
        " " if unicodedata.category(char) in ("Cc", "Cs", "Zl", "Zp") else char
        for char in without_isolates(text)
    )
