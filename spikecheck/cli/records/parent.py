"""`spikecheck parent`: the lines that are crossed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.records.record_options import ByOption, WriterOption
from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from spikecheck.vocabulary import Parent

EXAMPLES = "Example: spikecheck parent list"

_Name = Annotated[str, typer.Argument(metavar="NAME", help="The parent.", show_default=False)]
_Accession = Annotated[str, typer.Option(metavar="TEXT", help="Accession number.")]
_Pedigree = Annotated[
    str, typer.Option(metavar="TEXT", help="In Purdy notation, such as Aldo/Bruma//Ferra.")
]
_Place = Annotated[str, typer.Option(metavar="TEXT", help="Plot or pot.")]

commands = typer.Typer(no_args_is_help=True, help="Add, list, show and change parents.")


@commands.command(
    "add", epilog='Example: spikecheck parent add L12 --pedigree "Aldo/Bruma" --place "pot 7"'
)
def add(
    name: _Name,
    accession: _Accession = "",
    pedigree: _Pedigree = "",
    place: _Place = "",
    by: WriterOption = "",
    store: StoreOption = None,
) -> None:
    """Record a parent, or fill in what was not known of it."""
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store
    from spikecheck.vocabulary.plan import PlannedParent

    with open_store(store) as records:
        parent = records.plans.add_parent(PlannedParent(name, accession, pedigree, place), by=by)
    say(printable(f"Added parent {_told(parent)}"))


@commands.command("list", epilog="Example: spikecheck parent list")
def list_parents(store: StoreOption = None) -> None:
    """List all parents."""
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store

    with open_store(store) as records:
        parents = records.plans.parents()
    for parent in parents:
        say(printable(_told(parent)))
    if not parents:
        say("No parent is recorded. To add one: spikecheck parent add")


@commands.command("show", epilog="Example: spikecheck parent show L12")
def show(name: _Name, store: StoreOption = None) -> None:
    """Show one parent."""
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store

    with open_store(store) as records:
        say(printable(_told(records.plans.parent(name))))


@commands.command(
    "change",
    epilog='Example: spikecheck parent change L12 --place "pot 9" --reason "moved" --by AB',
)
def change(
    name: _Name,
    by: ByOption,
    reason: Annotated[str, typer.Option(metavar="TEXT", help="Why; the history keeps it.")],
    accession: _Accession = "",
    pedigree: _Pedigree = "",
    place: _Place = "",
    store: StoreOption = None,
) -> None:
    """Change what is recorded of a parent; the history keeps what it was."""
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store
    from spikecheck.vocabulary.plan import PlannedParent

    given = PlannedParent(name, accession, pedigree, place)
    with open_store(store) as records:
        parent = records.plans.change_parent(given, by=by, reason=reason)
    say(printable(f"Changed parent {_told(parent)}"))


def _told(parent: Parent) -> str:
    known = (
        ("accession", parent.accession), ("pedigree", parent.pedigree), ("place", parent.place),
    )  # fmt: skip
    told = ", ".join(f"{what} {value}" for what, value in known if value)
    return f"{parent.name}: {told}" if told else parent.name
