"""`spikecheck outcomes`: what came of the spikes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.outcomes import By, Rate

EXAMPLES = """Example: spikecheck outcomes

By technician: spikecheck outcomes --by technician

How many more controls show 1 %: spikecheck outcomes --bound 1"""

_WAYS = {
    "cross": "CROSS", "session": "SESSION", "place": "PLACE", "technician": "TECHNICIAN",
    "pollinator": "POLLINATOR", "method": "METHOD", "third": "THIRD", "verdict": "VERDICT",
    "decided-by": "DECIDED_BY",
}  # fmt: skip


def outcomes(
    by: Annotated[
        str | None,
        typer.Option(metavar="WHAT", help=f"Apart by one of: {', '.join(_WAYS)}."),
    ] = None,
    bound: Annotated[
        float,
        typer.Option(
            metavar="PERCENT", help="Selfing per control floret that is to be shown, percent."
        ),
    ] = 5.0,
    cross: Annotated[str | None, typer.Option(metavar="ID", help="Of this cross only.")] = None,
    store: StoreOption = None,
) -> None:
    """Say how many florets set seed, how much selfed, and whether passes kept their promise."""
    from spikecheck.bookkeeping.outcome_report import outcome_report
    from spikecheck.cli.console import printable, say
    from spikecheck.errors import UsageError
    from spikecheck.store import open_store

    way = _way(by)
    if not 0 < bound < 100:  # noqa: PLR2004  (percent)
        raise UsageError(
            f"--bound lies between 0 and 100 %, got {bound:g}", cure="Write 5 % as --bound 5"
        )
    with open_store(store, make=False) as records:
        known = None if cross is None else records.cross(cross).id
        report = outcome_report(records, by=way, bound=bound / 100, cross=known)
    if report.grouped:
        _table(report.grouped, str(way))
    for sentence in report.sentences:
        say(printable(sentence))


def _way(name: str | None) -> By:
    from spikecheck.errors import UsageError
    from spikecheck.outcomes import By

    if name is None:
        return By.ALL
    if name not in _WAYS:
        raise UsageError(f"outcomes are not told apart by {name}", cure=f"By {', '.join(_WAYS)}")
    return By[_WAYS[name]]


def _table(rates: Sequence[Rate], way: str) -> None:
    from rich.box import SIMPLE_HEAD
    from rich.table import Table

    from spikecheck.cli.console import printable, say_table

    table = Table("what", way, box=SIMPLE_HEAD)
    for heading in ("spikes", "count", "share", "95 % interval"):
        table.add_column(heading, justify="right", no_wrap=True)
    for rate in rates:
        table.add_row(
            str(rate.measure), printable(rate.name), str(rate.spikes),
            f"{rate.events}/{rate.trials}", f"{rate.share:.1%}",
            f"{rate.low:.1%} to {rate.high:.1%}",
        )  # fmt: skip
    say_table(table)
