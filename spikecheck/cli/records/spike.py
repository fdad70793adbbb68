"""`spikecheck spike`: one spike with its history, or a list of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.records.record_options import ByOption, SpikeArgument
from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from spikecheck.vocabulary.entry import Entry

EXAMPLES = "Example: spikecheck spike show C-014/3"

commands = typer.Typer(no_args_is_help=True, help="Show spikes; take entries back.")


@commands.command("show", epilog="Example: spikecheck spike show C-014/3")
def show(spike: SpikeArgument, store: StoreOption = None) -> None:
    """Show how a spike stands, what comes next, and its whole history."""
    from spikecheck.bookkeeping.entries_seen import by_time, replaced_entries
    from spikecheck.bookkeeping.local_time import local_zone
    from spikecheck.bookkeeping.recording import as_it_stands
    from spikecheck.bookkeeping.spike_names import spike_named
    from spikecheck.cli.console import printable, say
    from spikecheck.cli.records.recorded_text import tell_spikes
    from spikecheck.store import open_store
    from spikecheck.vocabulary.tag_code import shown_code

    zone = local_zone()
    with open_store(store, make=False) as records:
        cross, number = spike_named(records, spike)
        record = as_it_stands(records, cross, number)
        tell_spikes(records, [(record, ())])
        say(printable(f"    Female {record.female}, male {record.male}, {record.crop}"))
        if record.tag:
            say(f"    Tag {shown_code(record.tag)}")
        if record.session:
            say(printable(f"    Session {record.session} {record.place}".rstrip()))
        say()
        entries = records.spikes.entries(cross, number)
        replaced = replaced_entries(entries)
        for entry in by_time(entries):
            say(printable(_line(entry, zone, replaced.get(entry.number, ""))))


@commands.command("list", epilog="Example: spikecheck spike list --session S-2026-05-04")
def list_spikes(
    cross: Annotated[str | None, typer.Option(metavar="ID", help="Of this cross only.")] = None,
    session: Annotated[
        str | None, typer.Option(metavar="ID", help="Emasculated in this session only.")
    ] = None,
    store: StoreOption = None,
) -> None:
    """List spikes; all that still wait for something when nothing else is asked."""
    from spikecheck.bookkeeping.local_time import local_zone
    from spikecheck.bookkeeping.standing import standing_line
    from spikecheck.cli.console import printable, say
    from spikecheck.errors import UsageError
    from spikecheck.store import open_store

    if cross is not None and session is not None:
        raise UsageError("--cross and --session do not go together", cure="Give one of them")
    zone = local_zone()
    with open_store(store, make=False) as records:
        if cross is not None:
            found = records.spikes.of_cross(records.cross(cross).id)
        elif session is not None:
            found = records.spikes.in_session(records.sessions.one(session).id)
        else:
            found = records.spikes.open()
    for record in found:
        say(printable(standing_line(record, zone)))
    if not found:
        say("No spike. What happens to one is recorded with: spikecheck record")


@commands.command(
    "take-back",
    epilog='Example: spikecheck spike take-back C-014/3 41 --reason "other spike" --by AB',
)
def take_back(
    spike: SpikeArgument,
    entry: Annotated[
        int, typer.Argument(metavar="ENTRY", min=1, help="Number of the entry.", show_default=False)
    ],
    by: ByOption,
    reason: Annotated[str, typer.Option(metavar="TEXT", help="Why it is taken back.")],
    store: StoreOption = None,
) -> None:
    """Take an entry of the history back; it stays readable, with the reason."""
    from spikecheck.cli.records.recorded_text import tell_taken_back

    tell_taken_back(spike, entry, by=by, reason=reason, store=store)


def _line(entry: Entry, zone: ZoneInfo, became: str) -> str:
    from spikecheck.bookkeeping.entries_seen import happened_at
    from spikecheck.bookkeeping.entry_text import entry_words

    by = entry.step.by if entry.step is not None else entry.recorded_by
    at = f"{happened_at(entry).astimezone(zone):%Y-%m-%d %H:%M}"
    mark = f" [{became}]" if became else ""
    return f"Entry {entry.number}{mark}  {at}  {by}: {entry_words(entry)}"
