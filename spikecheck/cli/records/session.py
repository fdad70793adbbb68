"""`spikecheck session`: crossing sessions."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.records.record_options import WriterOption
from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from spikecheck.vocabulary import CrossingSession

EXAMPLES = "Example: spikecheck session list"

_Id = Annotated[str, typer.Argument(metavar="ID", help="The session.", show_default=False)]

commands = typer.Typer(no_args_is_help=True, help="Add, list and show crossing sessions.")


@commands.command(
    "add",
    epilog='Example: spikecheck session add S-0504 --place "House 2" --person AB --person CD',
)
def add(
    session_id: _Id,
    day: Annotated[
        str | None, typer.Option(metavar="DAY", help="Such as 2026-05-04; today when left out.")
    ] = None,
    place: Annotated[
        str, typer.Option(metavar="NAME", help="Where; temperatures are kept by place.")
    ] = "",
    person: Annotated[
        list[str] | None, typer.Option(metavar="NAME", help="Who takes part; once for each.")
    ] = None,
    note: Annotated[str, typer.Option(metavar="TEXT", help="Free text.")] = "",
    by: WriterOption = "",
    store: StoreOption = None,
) -> None:
    """Record a crossing session: a day, a place, people."""
    from spikecheck.bookkeeping.local_time import local_day, local_zone
    from spikecheck.cli.console import printable, say
    from spikecheck.cli.records.recorded_text import typed_moment
    from spikecheck.store import open_store
    from spikecheck.vocabulary import CrossingSession

    on = local_day(typed_moment(day), local_zone())
    with open_store(store) as records:
        session = records.sessions.add(
            CrossingSession(session_id, on, place, tuple(person or ()), note), by=by
        )
    say(printable(f"Added session {_told(session)}"))


@commands.command("list", epilog="Example: spikecheck session list")
def list_sessions(store: StoreOption = None) -> None:
    """List all sessions, the latest first."""
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store

    with open_store(store) as records:
        sessions = records.sessions.all()
    for session in sessions:
        say(printable(_told(session)))
    if not sessions:
        say("No session is recorded. To add one: spikecheck session add")


@commands.command("show", epilog="Example: spikecheck session show S-0504")
def show(session_id: _Id, store: StoreOption = None) -> None:
    """Show a session and the spikes emasculated in it."""
    from spikecheck.bookkeeping.local_time import local_zone
    from spikecheck.bookkeeping.standing import standing_line
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store

    zone = local_zone()
    with open_store(store) as records:
        session = records.sessions.one(session_id)
        spikes = records.spikes.in_session(session.id)
    say(printable(f"Session {_told(session)}"))
    for record in spikes:
        say(printable(standing_line(record, zone)))
    if not spikes:
        say("No spike was emasculated in it.")


def _told(session: CrossingSession) -> str:
    parts = [f"{session.day:%Y-%m-%d}", session.place, " and ".join(session.people)]
    note = f" ({' '.join(session.note.split())})" if session.note else ""
    return f"{session.id}: {', '.join(part for part in parts if part)}{note}"
