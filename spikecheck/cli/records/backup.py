"""`spikecheck backup` and `spikecheck restore`: everything in one file, and back."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from spikecheck.store.backup import Manifest

EXAMPLES_BACKUP = "Example: spikecheck backup spikecheck-2026-05-04.zip"
EXAMPLES_RESTORE = """Example: spikecheck restore spikecheck-2026-05-04.zip --store new_records

Into a database without tables (SPIKECHECK_PHOTOS names the photo folder): spikecheck restore
all.zip --store postgresql://user@host/name"""

_File = Annotated[
    Path, typer.Argument(metavar="FILE", help="The backup, one file.", show_default=False)
]


def backup(file: _File, store: StoreOption = None) -> None:
    """Write all records and photos to one new file, checked; others may go on recording."""
    from spikecheck.cli.progress import Bar
    from spikecheck.store import open_store

    with open_store(store, make=False) as records, Bar("backup") as bar:
        manifest = records.back_up(file, progress=lambda _, done, total: bar.set(done, total))
    _tell(f"Wrote {file}", manifest)


def restore(
    file: _File,
    store: Annotated[
        str,
        typer.Option(
            "--store", metavar="WHERE",
            help="An empty folder or one to be made, or the URL of a database without tables.",
        ),
    ],
) -> None:  # fmt: skip
    """Put a backup into a new store, every hash checked first, all of it or nothing."""
    from spikecheck.cli.progress import Bar
    from spikecheck.store import open_store
    from spikecheck.store.backup.restoring import restore_backup

    with Bar("restoring") as bar:
        manifest = restore_backup(file, store, progress=lambda _, done, total: bar.set(done, total))
    with open_store(store) as records:
        _tell(f"Restored {file} into {records.location}", manifest)


def _tell(what: str, manifest: Manifest) -> None:
    from spikecheck.cli.console import printable, say

    entries = manifest.rows.get("entries", 0)
    say(
        printable(
            f"{what}: {entries} entries of the history, "
            f"{len(manifest.photos)} photos and overlays, "
            f"{manifest.size_bytes / 1e6:.1f} MB"
        )
    )
