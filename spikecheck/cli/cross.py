"""`spikecheck cross`: the crosses that checks are recorded beside."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from spikecheck.store import RecordedCheck
    from spikecheck.vocabulary import Cross

EXAMPLES = "Example: spikecheck cross list"

_Id = Annotated[str, typer.Argument(metavar="ID", help="The cross.", show_default=False)]

commands = typer.Typer(no_args_is_help=True, help="Add, list and show crosses.")


@commands.command("add", epilog="Example: spikecheck cross add C-014 --female L12 --male L31")
def add(
    cross_id: _Id,
    female: Annotated[
        str, typer.Option(metavar="NAME", help="Female parent, the emasculated one.")
    ],
    male: Annotated[str, typer.Option(metavar="NAME", help="Male parent, which gives pollen.")],
    note: Annotated[str, typer.Option(metavar="TEXT", help="Free text.")] = "",
    store: StoreOption = None,
) -> None:
    """Record a new cross."""
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store

    with open_store(store) as records:
        cross = records.add_cross(cross_id, female, male, note)
        say(printable(f"Added cross {cross.id}, {_parents(cross)}, in {records.location}"))


@commands.command("list", epilog="Example: spikecheck cross list")
def list_crosses(store: StoreOption = None) -> None:
    """List all crosses, with how many spikes were checked and stand at pass or review."""
    from spikecheck.cli.console import printable, say, say_table
    from spikecheck.store import open_store

    with open_store(store) as records:
        summaries = records.crosses()
        where = printable(records.location)
    if not summaries:
        say(f"No cross is recorded in {where}. To add one: spikecheck cross add")
        return
    from rich.box import SIMPLE_HEAD
    from rich.table import Table

    table = Table("cross", "female", "male", "added", box=SIMPLE_HEAD)
    for heading in ("spikes", "pass", "review"):
        table.add_column(heading, justify="right")
    for summary in summaries:
        cross = summary.cross
        table.add_row(
            *map(printable, (cross.id, cross.female, cross.male)),
            f"{cross.created_at.astimezone():%Y-%m-%d}",
            *map(str, (summary.spikes, summary.passed, summary.review)),
        )
    say_table(table)


@commands.command("show", epilog="Example: spikecheck cross show C-014")
def show(cross_id: _Id, store: StoreOption = None) -> None:
    """Show one cross and its checks, newest first."""
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store

    with open_store(store) as records:
        cross = records.cross(cross_id)
        checks = records.checks(cross_id)
    say(printable(f"Cross {cross.id}: {_parents(cross)}"))
    say(f"Added {cross.created_at.astimezone():%Y-%m-%d %H:%M}")
    for line in cross.note.splitlines():
        say(f"Note: {printable(line)}")
    say()
    if not checks:
        say("No check is recorded beside it.")
    for check in checks:
        _show_check(check)


def _parents(cross: Cross) -> str:
    return f"female {cross.female}, male {cross.male}"


def _show_check(check: RecordedCheck) -> None:
    from spikecheck.cli.console import printable, say

    photos = ", ".join(photo.file_name for photo in check.photos)
    say(
        printable(
            f"Check {check.id}, spike {check.spike}: {check.verdict.upper()}, "
            f"{check.at.astimezone():%Y-%m-%d %H:%M}, by {check.by} ({photos})"
        )
    )
    for override in check.overrides:
        say(
            printable(
                f"    set to {override.verdict.upper()} by {override.by}, "
                f"{override.at.astimezone():%Y-%m-%d %H:%M}: {override.reason}"
            )
        )
