"""`spikecheck cross`: the crosses that checks are recorded beside."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.records.record_options import ByOption, WriterOption
from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from spikecheck.store import RecordedCheck
    from spikecheck.vocabulary import Cross

EXAMPLES = "Example: spikecheck cross list"

_Id = Annotated[str, typer.Argument(metavar="ID", help="The cross.", show_default=False)]

commands = typer.Typer(no_args_is_help=True, help="Add, change, list and show crosses.")


@commands.command("add", epilog="Example: spikecheck cross add C-014 --female L12 --male L31")
def add(
    cross_id: _Id,
    female: Annotated[
        str, typer.Option(metavar="NAME", help="Female parent, the emasculated one.")
    ],
    male: Annotated[str, typer.Option(metavar="NAME", help="Male parent, which gives pollen.")],
    purpose: Annotated[str, typer.Option(metavar="TEXT", help="What it is made for.")] = "",
    seeds: Annotated[int | None, typer.Option(metavar="N", min=1, help="F1 seeds wanted.")] = None,
    crop: Annotated[
        str, typer.Option(metavar="NAME", help="Whose numbers of the season hold.")
    ] = "wheat",
    project: Annotated[str, typer.Option(metavar="NAME", help="Crossing project.")] = "",
    note: Annotated[str, typer.Option(metavar="TEXT", help="Free text.")] = "",
    by: WriterOption = "",
    store: StoreOption = None,
) -> None:
    """Record a new cross, and its parents where they are new."""
    from spikecheck.bookkeeping.crops import known_crop
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store
    from spikecheck.vocabulary.plan import PlannedCross, PlannedParent

    planned = PlannedCross(
        cross_id, PlannedParent(female), PlannedParent(male), purpose=purpose, seeds_wanted=seeds,
        crop=known_crop(crop), project=project, note=note,
    )  # fmt: skip
    with open_store(store) as records:
        cross = records.plans.add(planned, by=by)
        say(printable(f"Added cross {cross.id}, {_parents(cross)}, in {records.location}"))


@commands.command(
    "change",
    epilog='Example: spikecheck cross change C-014 --male L33 --reason "typed wrong" --by AB',
)
def change(
    cross_id: _Id,
    by: ByOption,
    reason: Annotated[str, typer.Option(metavar="TEXT", help="Why; the history keeps it.")],
    female: Annotated[str | None, typer.Option(metavar="NAME", help="Female parent.")] = None,
    male: Annotated[str | None, typer.Option(metavar="NAME", help="Male parent.")] = None,
    purpose: Annotated[str | None, typer.Option(metavar="TEXT", help="What it is for.")] = None,
    seeds: Annotated[int | None, typer.Option(metavar="N", min=1, help="F1 seeds wanted.")] = None,
    crop: Annotated[str | None, typer.Option(metavar="NAME", help="The crop.")] = None,
    project: Annotated[str | None, typer.Option(metavar="NAME", help="Crossing project.")] = None,
    note: Annotated[str | None, typer.Option(metavar="TEXT", help="Free text.")] = None,
    store: StoreOption = None,
) -> None:
    """Put right what was planned wrongly; refused where spikes' histories would not hold."""
    from spikecheck.bookkeeping.crops import known_crop
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store

    given = {
        "female": female, "male": male, "purpose": purpose, "seeds_wanted": seeds,
        "crop": None if crop is None else known_crop(crop), "project": project, "note": note,
    }  # fmt: skip
    new = {name: value for name, value in given.items() if value is not None}
    with open_store(store) as records:
        cross = records.plans.change(cross_id, new, by=by, reason=reason)
    say(printable(f"Changed cross {cross.id}: {_parents(cross)}"))


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
    """Show one cross, how its spikes stand, and their checks, newest first."""
    from spikecheck.bookkeeping.local_time import local_zone
    from spikecheck.bookkeeping.standing import standing_line
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store

    with open_store(store) as records:
        cross = records.cross(cross_id)
        checks = records.checks(cross_id)
        spikes = records.spikes.of_cross(cross.id)
    say(printable(f"Cross {cross.id}: {_parents(cross)}"))
    say(f"Added {cross.created_at.astimezone():%Y-%m-%d %H:%M}")
    for what, value in _details(cross):
        say(printable(f"{what}: {value}"))
    for line in cross.note.splitlines():
        say(f"Note: {printable(line)}")
    for spike in spikes:
        say(printable(standing_line(spike, local_zone())))
    say()
    if not checks:
        say("No check is recorded beside it.")
    for check in checks:
        _show_check(check)


def _details(cross: Cross) -> list[tuple[str, str]]:
    wanted = "" if cross.seeds_wanted is None else f"{cross.seeds_wanted} seeds"
    from spikecheck.vocabulary import WHEAT

    crop = "" if cross.crop == WHEAT else cross.crop
    known = [
        ("Purpose", cross.purpose), ("Wanted", wanted), ("Crop", crop), ("Project", cross.project),
    ]  # fmt: skip
    return [(what, value) for what, value in known if value]


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
