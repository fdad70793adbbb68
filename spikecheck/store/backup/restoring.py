"""Puts a backup back, all of it or nothing, into a place that is empty.

Every part is compared with its hash before anything is written. A folder is built beside its place
and gets its name at the end. A database gets tables and rows in one transaction; the photos are in
their folder before it is committed.
"""

from __future__ import annotations

import secrets
import shutil
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import inspect
from sqlalchemy.exc import DataError, IntegrityError

from spikecheck.errors import BackupError
from spikecheck.store.backup.archive import open_backup
from spikecheck.store.backup.named_photos import named_photos
from spikecheck.store.backup.stages import Stage, silent
from spikecheck.store.backup.table_lines import load_tables
from spikecheck.store.backup.unfinished import UNFINISHED, sweep_unfinished
from spikecheck.store.connecting import connect
from spikecheck.store.durable import make_folder, sync_folder
from spikecheck.store.engine import writing
from spikecheck.store.failures import told_plainly
from spikecheck.store.location import find_place
from spikecheck.store.photo_files import PhotoFiles
from spikecheck.store.revisions import VERSION_TABLE, knows_revision, read_revision, upgrade

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sqlalchemy import Connection

    from spikecheck.store.backup.archive import Backup
    from spikecheck.store.backup.manifest import Manifest
    from spikecheck.store.backup.stages import Progress
    from spikecheck.store.location import StorePlace

_WAIT_S = 20.0
_MEBIBYTE = 2**20


def restore_backup(path: Path, location: str, *, progress: Progress = silent) -> Manifest:
    """Put the backup ``path`` into a new store.

    Parameters
    ----------
    path
        The backup.
    location
        A folder that is empty or not there yet, or the address of a database without tables
        (then the photos go to the folder named by SPIKECHECK_PHOTOS).
    progress
        Told how far it is.

    Returns
    -------
    Manifest
        What the backup holds; an older revision was brought to the newest one.

    Raises
    ------
    BackupError
        If the backup is damaged or of a newer spikecheck, or the place is not empty.
    StoreError
        If the place cannot be written.
    """
    with open_backup(path) as backup:
        backup.check(progress)
        if "://" in location:
            place = find_place(location)
            _refuse_crowded_disk(backup, place.photos)
            _fill(backup, place, progress)
        else:
            with _built_beside(Path(location).expanduser().absolute()) as folder:
                _refuse_crowded_disk(backup, folder)
                _fill(backup, find_place(str(folder)), progress)
        return backup.manifest


@contextmanager
def _built_beside(folder: Path) -> Iterator[Path]:
    """Yield a folder to fill; give it the name ``folder`` if that went well, else remove it."""
    if folder.exists() and not (folder.is_dir() and not any(folder.iterdir())):
        raise BackupError("the folder is not empty", where=str(folder), cure="Give a new folder")
    sweep_unfinished(folder)
    building = folder.with_name(f".{folder.name}.{secrets.token_hex(4)}{UNFINISHED}")
    try:
        make_folder(building)
        yield building
        if folder.exists():
            folder.rmdir()
        building.rename(folder)
        sync_folder(folder.parent)
    except OSError as error:
        raise BackupError(
            f"the folder cannot be made ({error.strerror})",
            where=str(folder),
            cure="Give a new folder within one that you may write to",
        ) from error
    finally:
        shutil.rmtree(building, ignore_errors=True)


def _refuse_crowded_disk(backup: Backup, folder: Path) -> None:
    free, needed = shutil.disk_usage(folder).free, backup.manifest.size_bytes
    if needed > free:
        raise BackupError(
            f"the backup needs {needed // _MEBIBYTE} MiB, {free // _MEBIBYTE} MiB are free",
            where=str(folder),
            cure="Make room, or restore to another disk",
        )


def _fill(backup: Backup, place: StorePlace, progress: Progress) -> None:
    engine = connect(place, wait_s=_WAIT_S)
    try:
        with told_plainly(place.shown), writing(engine) as connection:
            _fill_tables(backup, connection, place.shown)
            # Before the commit: whoever sees the tables finds the photos.
            _put_photos(backup, PhotoFiles(place.photos), progress)
    finally:
        engine.dispose()


def _fill_tables(backup: Backup, connection: Connection, where: str) -> None:
    manifest = backup.manifest
    if read_revision(connection, where) is not None:
        raise BackupError(
            "the database holds records already", where=where, cure="Give one without tables"
        )
    if not knows_revision(connection, manifest.revision):
        raise BackupError(
            f"a newer spikecheck made the backup (revision {manifest.revision})",
            where=backup.where,
            cure="Install the newest spikecheck",
        )
    upgrade(connection, where, to=manifest.revision)
    if set(inspect(connection).get_table_names()) - {VERSION_TABLE} != set(manifest.rows):
        raise _contradicts("it has other tables than its revision", backup)
    try:
        rows = load_tables(connection, manifest.rows, backup.lines, where=backup.where)
    except (IntegrityError, DataError) as error:
        raise _contradicts("its rows do not fit together", backup) from error
    if rows != manifest.rows:
        raise _contradicts("it has not as many rows as it says", backup)
    if named_photos(connection) != manifest.photos:
        raise _contradicts("it has not the photos that its tables name", backup)
    upgrade(connection, where)


def _put_photos(backup: Backup, photos: PhotoFiles, progress: Progress) -> None:
    named = sorted(backup.manifest.photos)
    for done, sha256 in enumerate(named):
        progress(Stage.PHOTOS, done, len(named))
        if photos.keep(backup.photo(sha256)) != sha256:
            raise _contradicts("it changed while it was read", backup)
    progress(Stage.PHOTOS, len(named), len(named))


def _contradicts(how: str, backup: Backup) -> BackupError:
    return BackupError(
        f"the backup contradicts itself: {how}",
        where=backup.where,
        cure="Use another copy of the backup",
    )
