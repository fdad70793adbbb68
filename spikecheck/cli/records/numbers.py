"""`spikecheck numbers`: what the season is reckoned with, by crop."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.records.record_options import ByOption
from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from spikecheck.thresholds.season import SeasonNumber, SeasonNumbers

EXAMPLES = "Example: spikecheck numbers show --crop barley"

_Crop = Annotated[str, typer.Option(metavar="NAME", help="The crop.")]

commands = typer.Typer(
    no_args_is_help=True, help="Show, change and estimate the numbers of a crop's season."
)


@commands.command("show", epilog="Example: spikecheck numbers show --crop barley")
def show(crop: _Crop = "wheat", store: StoreOption = None) -> None:
    """Show every number with unit, reason, source, and what it rests on."""
    from datetime import UTC, datetime

    from spikecheck.bookkeeping.crops import known_crop
    from spikecheck.bookkeeping.season_of_store import season_of
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store

    crop = known_crop(crop)
    with open_store(store) as records:
        numbers = season_of(records, now=datetime.now(UTC)).numbers(crop)
        own = {change.name: change for change in records.numbers.all() if change.crop == crop}
    for number in numbers.entries:
        say(printable(_line(numbers, number)))
        change = own.get(number.name)
        if number.changed and change is not None:
            say(printable(f"    Your own, by {change.by} on {change.at:%Y-%m-%d}: {change.reason}"))
            continue
        say(printable(f"    {number.reason}"))
        say(printable(f"    Source: {number.source}"))


@commands.command(
    "change",
    epilog='Example: spikecheck numbers change receptive_best 65 --crop wheat --reason "own trial" '
    "--by AB",
)
def change(
    name: Annotated[
        str, typer.Argument(metavar="NUMBER", help="Its name.", show_default=False)
    ],
    value: Annotated[
        float, typer.Argument(metavar="VALUE", help="In its unit.", show_default=False)
    ],
    by: ByOption,
    reason: Annotated[str, typer.Option(metavar="TEXT", help="Why; the history keeps it.")],
    crop: _Crop = "wheat",
    store: StoreOption = None,
) -> None:  # fmt: skip
    """Change a number for these records."""
    from datetime import UTC, datetime

    from spikecheck.bookkeeping.crops import known_crop
    from spikecheck.bookkeeping.season_of_store import season_of
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store
    from spikecheck.thresholds.season import changed_numbers

    crop = known_crop(crop)
    with open_store(store) as records:
        season = season_of(records, now=datetime.now(UTC))
        numbers = changed_numbers(season.numbers(crop), {name: value})
        records.numbers.add(crop, name, value, by=by, reason=reason)
    say(printable(f"Changed {_line(numbers, numbers.entry(name))}"))


@commands.command(
    "estimate",
    epilog="Example: spikecheck numbers estimate --crop wheat\n\n"
    "To go by it from now on: spikecheck numbers estimate --crop wheat --take --by AB",
)
def estimate(
    crop: _Crop = "wheat",
    take: Annotated[bool, typer.Option("--take", help="Go by it from now on.")] = False,
    by: Annotated[str, typer.Option(metavar="NAME", help="Who takes it; with --take.")] = "",
    store: StoreOption = None,
) -> None:
    """Estimate the window for pollen from your own seed set."""
    from datetime import UTC, datetime

    from spikecheck.bookkeeping.crops import known_crop
    from spikecheck.bookkeeping.refitting import refit_of, take_refit
    from spikecheck.bookkeeping.season_of_store import season_of
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store

    crop = known_crop(crop)
    with open_store(store) as records:
        season = season_of(records, now=datetime.now(UTC))
        refit = refit_of(season, crop)
        say(printable(refit.statement))
        if take:
            numbers = take_refit(season, crop, refit, by=by)
            for name in refit.estimate.changes if refit.estimate else ():
                say(printable(f"Changed {_line(numbers, numbers.entry(name))}"))
        elif refit.estimate is not None:
            say("Nothing was changed. To go by it: add --take --by NAME")


def _line(numbers: SeasonNumbers, number: SeasonNumber) -> str:
    marks = [] if number.changed else [str(number.basis)]
    if number.name in numbers.borrowed:
        marks.append(f"{number.crop}'s, {numbers.crop} has none of its own")
    if number.changed:
        marks.append(f"changed; shipped {number.default:g}")
    return f"{number.name} = {number.value:g} {number.unit}  [{'; '.join(marks)}]"
