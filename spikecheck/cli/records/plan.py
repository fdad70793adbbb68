"""`spikecheck plan`: a season's crosses from a table."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.records.record_options import WriterOption
from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from spikecheck.errors import SpikecheckError

EXAMPLES = "Example: spikecheck plan take-in plan.csv --try"

commands = typer.Typer(no_args_is_help=True, help="Take a crossing plan in from a CSV table.")


@commands.command("template", epilog="Example: spikecheck plan template")
def template() -> None:
    """Print an empty plan: the header with every column. Save it as a CSV file and fill it in."""
    from spikecheck.cli.console import say
    from spikecheck.exchange.plan_columns import plan_template

    say(plan_template().rstrip("\r\n"))


@commands.command(
    "take-in",
    epilog="Example: spikecheck plan take-in plan.csv\n\n"
    "To see what would happen: spikecheck plan take-in plan.csv --try",
)
def take_in(
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="The plan, a CSV table.", show_default=False)
    ],
    try_only: Annotated[
        bool, typer.Option("--try", help="Tell what would happen and record nothing.")
    ] = False,
    by: WriterOption = "",
    store: StoreOption = None,
) -> None:
    """Record every cross of a plan with its parents, or none of it."""
    from spikecheck.bookkeeping.plan_intake import take_in_plan
    from spikecheck.cli.progress import Bar
    from spikecheck.errors import TableError
    from spikecheck.store import open_store

    try:
        with file.open("rb") as table, open_store(store) as records:
            with Bar("reading") as bar:
                count, faults = take_in_plan(
                    records, table, name=file.name, by=by, try_only=try_only, on_progress=bar.set
                )
            where = records.location
    except OSError as error:
        raise TableError(
            f"cannot be read ({error.strerror})", where=str(file), cure="Mend the path"
        ) from error
    _tell(count, faults, name=file.name, kept="" if try_only else where)


def _tell(count: int, faults: tuple[SpikecheckError, ...], *, name: str, kept: str) -> None:
    from spikecheck.bookkeeping.plan_intake import there_may_be_more
    from spikecheck.cli.console import complain, printable, say
    from spikecheck.errors import TableError

    for fault in faults:
        complain(fault)
    if faults:
        problems = "1 problem" if len(faults) == 1 else f"{len(faults)} problems"
        if there_may_be_more(faults):
            problems += " or more"
        raise TableError(
            f"{problems}; nothing was recorded", where=name,
            cure="Mend the table and take it in again",
        )  # fmt: skip
    crosses = "1 cross" if count == 1 else f"{count} crosses"
    if kept:
        say(printable(f"Recorded {crosses} in {kept}"))
    else:
        say(f"{crosses} would be recorded. Nothing is wrong, nothing was recorded (--try)")
