"""`spikecheck export` and `spikecheck brapi`: records as files for others."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from spikecheck.cli.records.record_options import ByOption
from spikecheck.cli.store_option import StoreOption

EXAMPLES_EXPORT = "Example: spikecheck export tables"
EXAMPLES = "Example: spikecheck brapi write crosses_for_exchange"

_Folder = Annotated[Path, typer.Argument(metavar="FOLDER", help="The folder.", show_default=False)]

commands = typer.Typer(
    no_args_is_help=True, help="Exchange crosses as BrAPI v2.1 JSON, an open standard."
)


def export(folder: _Folder, store: StoreOption = None) -> None:
    """Write everything as CSV tables into a new folder."""
    from spikecheck.bookkeeping.export import export_tables
    from spikecheck.cli.console import printable, say
    from spikecheck.cli.progress import Bar
    from spikecheck.store import open_store

    with open_store(store, make=False) as records, Bar("tables") as bar:
        rows = export_tables(records, folder, on_progress=bar.set)
    for name, count in rows.items():
        say(printable(f"{folder / name}: {'1 row' if count == 1 else f'{count} rows'}"))


@commands.command("write", epilog="Example: spikecheck brapi write crosses_for_exchange")
def write(folder: _Folder, store: StoreOption = None) -> None:
    """Write crossing projects, planned crosses and crosses, a JSON file each."""
    from spikecheck.bookkeeping.brapi_files import write_brapi
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store

    with open_store(store, make=False) as records:
        counts = write_brapi(records, folder)
    for name, count in counts.items():
        say(printable(f"{folder / name}.json: {count}"))


@commands.command("read", epilog="Example: spikecheck brapi read crosses_of_others --by AB")
def read(folder: _Folder, by: ByOption, store: StoreOption = None) -> None:
    """Take crosses, parents and spikes in; what is recorded already stays as it is."""
    from spikecheck.bookkeeping.brapi_files import read_brapi
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store

    with open_store(store) as records:
        taken = read_brapi(records, folder, by=by)
    for remark in taken.remarks:
        say(printable(f"Note: {remark}"))
    say(
        f"Recorded {_counted(taken.crosses, 'cross', 'crosses')} and what happened to "
        f"{_counted(taken.spikes, 'spike', 'spikes')}; {taken.known} were there already."
    )
    if taken.checks or taken.photos:
        say(
            f"Left out: {_counted(taken.checks, 'check', 'checks')} with "
            f"{_counted(taken.photos, 'photo', 'photos')}. Photos do not travel in these files, "
            "and a check is nothing without them; a bag put on after one tells its verdict."
        )
    if taken.sessions:
        say(
            f"Left out: the session of {_counted(taken.sessions, 'spike', 'spikes')}; "
            "notes of the steps name it."
        )


def _counted(count: int, one: str, several: str) -> str:
    return f"{count} {one if count == 1 else several}"
