"""`spikecheck temperatures`: how warm it was, by place."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.records.record_options import ByOption
from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from spikecheck.vocabulary.temperatures import Temperatures

EXAMPLES = 'Example: spikecheck temperatures add "House 2" "2026-05-04 8/21" --by AB'

_Place = Annotated[
    str,
    typer.Argument(metavar="PLACE", help="As crossing sessions call it.", show_default=False),
]
_Zone = Annotated[
    str | None,
    typer.Option(
        metavar="ZONE", help="Time zone (IANA), such as Europe/Rome; this machine's if left out."
    ),
]

commands = typer.Typer(no_args_is_help=True, help="Record and show temperatures of a place.")


@commands.command(
    "add",
    epilog='Example: spikecheck temperatures add "House 2" "2026-05-04 8/21" "2026-05-05 9/23" '
    "--by AB",
)
def add(
    place: _Place,
    days: Annotated[
        list[str],
        typer.Argument(
            metavar="DAY", help="Day, lowest and highest in °C: '2026-05-04 8/21'.",
            show_default=False,
        ),
    ],
    by: ByOption,
    zone: _Zone = None,
    store: StoreOption = None,
) -> None:  # fmt: skip
    """Record the lowest and highest temperature of days; expected ones may lie ahead."""
    from spikecheck.season.temperatures import typed_days

    _record(place, typed_days("\n".join(days)), zone=_zone(zone), by=by, store=store)


@commands.command(
    "take-in", epilog='Example: spikecheck temperatures take-in "House 2" logger.csv --by AB'
)
def take_in(
    place: _Place,
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="A CSV table.", show_default=False)
    ],
    by: ByOption,
    day_first: Annotated[
        bool, typer.Option("--day-first", help="In dates such as 1/5/2026 the day comes first.")
    ] = False,
    zone: _Zone = None,
    store: StoreOption = None,
) -> None:  # fmt: skip
    """Record a logger's readings, or days with their extremes, from a CSV table."""
    from spikecheck.errors import TableError
    from spikecheck.season.temperatures import read_temperature_table

    where = _zone(zone)
    try:
        with file.open("rb") as table:
            found = read_temperature_table(table, zone=where, name=file.name, day_first=day_first)
    except OSError as error:
        raise TableError(
            f"cannot be read ({error.strerror})", where=str(file), cure="Mend the path"
        ) from error
    _record(place, found, zone=where, by=by, store=store, file_name=file.name)


@commands.command(
    "constant",
    epilog='Example: spikecheck temperatures constant "Chamber 1" 20 --start 2026-05-01 --by AB',
)
def constant(
    place: _Place,
    air_c: Annotated[float, typer.Argument(metavar="C", help="Degrees C.", show_default=False)],
    by: ByOption,
    start: Annotated[
        str | None, typer.Option(metavar="WHEN", help="From when on; now when left out.")
    ] = None,
    end: Annotated[
        str | None, typer.Option(metavar="WHEN", help="Until when; a year later when left out.")
    ] = None,
    store: StoreOption = None,
) -> None:
    """Record that a room is held at one temperature."""
    from datetime import timedelta

    from spikecheck.cli.records.recorded_text import typed_moment
    from spikecheck.errors import UsageError
    from spikecheck.season.temperatures import typed_constant

    first = typed_moment(start)
    last = first + timedelta(days=365) if end is None else typed_moment(end)
    if last <= first:
        raise UsageError(
            f"--end {end} is not after the start", cure="Give a later one, or leave it out"
        )
    _record(place, typed_constant(air_c, first, last), zone=_zone(None), by=by, store=store)


@commands.command("show", epilog='Example: spikecheck temperatures show "House 2"')
def show(place: _Place, store: StoreOption = None) -> None:
    """Show from where temperatures of a place come, and what they come to."""
    from spikecheck.bookkeeping.temperature_text import temperature_lines
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store

    with open_store(store) as records:
        for line in temperature_lines(records, place):
            say(printable(line))


def _zone(name: str | None) -> ZoneInfo:
    from spikecheck.bookkeeping.local_time import local_zone, zone_named

    return local_zone() if name is None else zone_named(name)


def _record(
    place: str, found: Temperatures, *, zone: ZoneInfo, by: str, store: str | None,
    file_name: str = "",
) -> None:  # fmt: skip
    from spikecheck.bookkeeping.local_time import local_zone
    from spikecheck.bookkeeping.temperature_text import reach_text, unknown_place_remark
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store

    with open_store(store) as records:
        source = records.temperatures.add(place, found, zone=zone.key, by=by, file_name=file_name)
        remark = unknown_place_remark(records, source.place)
    say(printable(f"Recorded temperatures of {source.place}: {reach_text(found, local_zone())}"))
    if remark:
        say(printable(f"    Look again: {remark}"))
