"""`spikecheck agenda`: what is due, overdue and coming."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from spikecheck.season.agenda import TaskGroup
    from spikecheck.store import Store

EXAMPLES = """Example: spikecheck agenda

For a calendar program: spikecheck agenda --calendar crossing.ics"""

_HEADINGS = (
    ("overdue", "Overdue"),
    ("today", "Today"),
    ("this_week", "This week"),
    ("later", "Later"),
)


def agenda(
    days: Annotated[
        int, typer.Option(metavar="N", min=1, max=366, help="Days that count as this week.")
    ] = 7,
    everything: Annotated[bool, typer.Option("--all", help="What comes later too.")] = False,
    calendar: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Write it as a calendar file with alarms (.ics)."),
    ] = None,
    store: StoreOption = None,
) -> None:
    """Say what is to be done next with every spike: overdue, today, this week."""
    from datetime import UTC, datetime

    from spikecheck.bookkeeping.season_of_store import season_of
    from spikecheck.season.agenda import grouped
    from spikecheck.store import open_store

    now = datetime.now(UTC)
    with open_store(store, make=False) as records:
        season = season_of(records, now=now)
        groups = grouped(season.agenda(days=days))
        _tell(groups, everything=everything)
        if calendar is not None:
            _write_calendar(calendar, groups, records, now)


def _tell(groups: Sequence[TaskGroup], *, everything: bool) -> None:
    from spikecheck.bookkeeping.group_text import group_text
    from spikecheck.cli.console import printable, say

    if not groups:
        say("Nothing is to be done.")
    for state, heading in _HEADINGS:
        several = [group for group in groups if group.state == state]
        if not several or (state == "later" and not everything):
            continue
        say(heading)
        for group in several:
            text = group_text(group)
            head = f"    {_when(group)}{group.title}"
            if len(text.sentences) == 1:
                say(printable(f"{head}: {text.sentences[0]}"))
            else:
                say(printable(head))
            for line in (*text.sentences[len(text.sentences) == 1 :], *text.remarks):
                say(printable(f"        {line}"))
    later = sum(len(group.tasks) for group in groups if group.state == "later")
    if later and not everything:
        waiting = "1 spike waits" if later == 1 else f"{later} spikes wait"
        say(f"{waiting} for something later (--all)")


def _when(group: TaskGroup) -> str:
    if group.day is None or group.state == "overdue":  # overdue: the sentence says since when
        return ""
    return f"{group.day:%a %Y-%m-%d}  "


def _write_calendar(
    path: Path, groups: Sequence[TaskGroup], records: Store, now: datetime
) -> None:  # fmt: skip
    from spikecheck.cli.console import printable, say
    from spikecheck.errors import OutputError
    from spikecheck.season.calendar_file import agenda_calendar

    text = agenda_calendar(groups, now=now, store=records.identity())
    try:
        path.write_bytes(text)
    except OSError as error:
        raise OutputError(
            f"cannot be written ({error.strerror})", where=str(path), cure="Name another file"
        ) from error
    events = sum(group.day is not None for group in groups)
    say(printable(f"Calendar of {'1 entry' if events == 1 else f'{events} entries'}: {path}"))
