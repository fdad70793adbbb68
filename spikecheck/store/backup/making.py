"""Makes a backup of a store that may be in use meanwhile.

The tables are read first, all in one state. The photos that they name are read afterwards: photos
are on disk before a table names them, and are never deleted. The file is written beside its place,
synced, read again and compared, and only then given its name.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
import zipfile
from pathlib import Path
from typing import TYPE_CHECKING

import spikecheck
from spikecheck.errors import BackupError
from spikecheck.store.backup.archive import open_backup
from spikecheck.store.backup.manifest import (
    MANIFEST_NAME,
    Manifest,
    Part,
    photo_part,
    table_part,
)
from spikecheck.store.backup.named_photos import named_photos
from spikecheck.store.backup.stages import Stage, silent
from spikecheck.store.backup.table_lines import dump_table
from spikecheck.store.backup.unfinished import UNFINISHED, sweep_unfinished
from spikecheck.store.durable import sync_folder
from spikecheck.store.moments import now
from spikecheck.store.revisions import HEAD, read_revision
from spikecheck.store.season_tables import entries

if TYPE_CHECKING:
    from collections.abc import Iterable

    from sqlalchemy import Connection

    from spikecheck.store.backup.stages import Progress
    from spikecheck.store.database import Database
    from spikecheck.store.photo_files import PhotoFiles


def make_backup(
    database: Database, photos: PhotoFiles, path: Path, *, progress: Progress = silent
) -> Manifest:
    """Write everything that the store holds now to the file ``path``.

    Parameters
    ----------
    database
        The database, at the newest revision.
    photos
        The photo folder.
    path
        The backup; it must not be there yet.
    progress
        Told how far it is.

    Returns
    -------
    Manifest
        What the backup holds.

    Raises
    ------
    BackupError
        If the file is there, cannot be written, or does not read back as it was written.
    StoreError
        If the store cannot be read, or a photo is missing or damaged.
    """
    if path.exists():
        raise BackupError("the file is there already", where=str(path), cure="Give another name")
    sweep_unfinished(path)
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=UNFINISHED)
    except OSError as error:
        raise _cannot_write(error, path) from error
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            with zipfile.ZipFile(file, "w") as archive:
                _Writer(archive, progress).write(database, photos)
            file.flush()
            os.fsync(file.fileno())
        with open_backup(temporary, shown=path) as written:
            written.check(progress)
            manifest = written.manifest
        temporary.replace(path)
        sync_folder(path.parent)
    except OSError as error:
        raise _cannot_write(error, path) from error
    finally:
        temporary.unlink(missing_ok=True)
    return manifest


def _cannot_write(error: OSError, path: Path) -> BackupError:
    return BackupError(
        f"the backup cannot be written ({error.strerror})",
        where=str(path),
        cure="Check the folder, its rights and the free space, then try again",
    )


class _Writer:
    """Fills one archive."""

    def __init__(self, archive: zipfile.ZipFile, progress: Progress) -> None:
        self._archive = archive
        self._progress = progress
        self._parts: dict[str, Part] = {}
        self._rows: dict[str, int] = {}

    def write(self, database: Database, photos: PhotoFiles) -> None:
        with database.reading() as connection:
            revision = _known_revision(connection, database.location)
            made_at = now().isoformat()
            named = sorted(named_photos(connection))
            tables = entries.metadata.sorted_tables
            for done, table in enumerate(tables):
                self._progress(Stage.TABLES, done, len(tables))
                self._rows[table.name] = self._add(
                    table_part(table.name), dump_table(connection, table), zipfile.ZIP_DEFLATED
                )
        self._progress(Stage.TABLES, len(tables), len(tables))
        for done, sha256 in enumerate(named):
            self._progress(Stage.PHOTOS, done, len(named))
            self._add(photo_part(sha256), (photos.read(sha256),), zipfile.ZIP_STORED)
        self._progress(Stage.PHOTOS, len(named), len(named))
        manifest = Manifest(revision, made_at, spikecheck.__version__, self._rows, self._parts)
        self._archive.writestr(MANIFEST_NAME, manifest.to_json(), zipfile.ZIP_DEFLATED)

    def _add(self, name: str, pieces: Iterable[bytes], compression: int) -> int:
        """Write one part and return of how many pieces it is."""
        info = zipfile.ZipInfo(name)  # without the time of day: the same records, the same parts
        info.compress_type = compression
        info.external_attr = 0o600 << 16
        digest, size, count = hashlib.sha256(), 0, 0
        with self._archive.open(info, "w", force_zip64=True) as part:
            for piece in pieces:
                part.write(piece)
                digest.update(piece)
                size += len(piece)
                count += 1
        self._parts[name] = Part(digest.hexdigest(), size)
        return count


def _known_revision(connection: Connection, where: str) -> str:
    """Return the revision; another program may have upgraded since the store was opened."""
    revision = read_revision(connection, where)
    if revision != HEAD:
        raise BackupError(
            f"the records are of revision {revision}, known is {HEAD}",
            where=where,
            cure="Start again with the newest spikecheck",
        )
    return revision
