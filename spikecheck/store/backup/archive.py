"""Reads a backup that may be damaged, cut short or forged: nothing in it is believed unchecked."""

from __future__ import annotations

import hashlib
import zipfile
import zlib
from contextlib import contextmanager
from typing import TYPE_CHECKING

from spikecheck.errors import BackupError
from spikecheck.store.backup.manifest import (
    MANIFEST_NAME,
    Manifest,
    photo_part,
    read_manifest,
    table_part,
)
from spikecheck.store.backup.stages import Stage

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from spikecheck.store.backup.stages import Progress

# Limits against a file that unpacks to more than a machine can hold.
_LARGEST_MANIFEST_BYTES = 256 * 2**20
_LONGEST_LINE_BYTES = 256 * 2**20
_PIECE_BYTES = 2**20
_ENCRYPTED = 0x1
_PACKINGS = {zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED}
_DAMAGE = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, ValueError)


@contextmanager
def open_backup(path: Path, *, shown: Path | None = None) -> Iterator[Backup]:
    """Open a backup.

    Parameters
    ----------
    path
        The file.
    shown
        What it is called in messages; None takes ``path``.

    Raises
    ------
    BackupError
        If it cannot be read, is no backup, or its parts are not those that it names.
    """
    where = str(shown or path)
    try:
        archive = zipfile.ZipFile(path)
    except _DAMAGE as error:
        raise _damaged("the file is no backup, or was cut short", where) from error
    except OSError as error:
        raise BackupError(
            f"the backup cannot be read ({error.strerror})",
            where=where,
            cure="Give the file of a backup that you may read",
        ) from error
    with archive:
        yield Backup(archive, where)


class Backup:
    """An open backup.

    Parameters
    ----------
    archive
        Its file.
    where
        What it is called in messages.
    """

    def __init__(self, archive: zipfile.ZipFile, where: str) -> None:
        self._archive = archive
        self._infos = {info.filename: info for info in archive.infolist()}
        self.where = where
        if MANIFEST_NAME not in self._infos:
            raise _damaged(f"the file is no backup: it lacks {MANIFEST_NAME}", where)
        size = self._infos[MANIFEST_NAME].file_size
        if size > _LARGEST_MANIFEST_BYTES:
            raise _damaged(f"{MANIFEST_NAME} in the backup is too large", where)
        self.manifest: Manifest = read_manifest(
            b"".join(self._pieces(MANIFEST_NAME, size)), where=where
        )
        self._compare_names()

    def check(self, progress: Progress) -> None:
        """Read every part and compare it with its hash.

        Raises
        ------
        BackupError
            If one differs.
        """
        parts = self.manifest.parts
        for done, (name, part) in enumerate(parts.items()):
            progress(Stage.CHECKING, done, len(parts))
            digest = hashlib.sha256()
            for piece in self._pieces(name, part.size_bytes):
                digest.update(piece)
            if digest.hexdigest() != part.sha256:
                raise _damaged(f"{name} in the backup is damaged", self.where)
        progress(Stage.CHECKING, len(parts), len(parts))

    def lines(self, table: str) -> Iterator[bytes]:
        """Yield the rows of a table, a line each."""
        name = table_part(table)
        with self._reading(name), self._archive.open(name) as file:
            while line := file.readline(_LONGEST_LINE_BYTES):
                if not line.endswith(b"\n"):
                    raise _damaged(f"{name} in the backup has a line without end", self.where)
                yield line

    def photo(self, sha256: str) -> bytes:
        """Return the bytes of a photo or overlay."""
        name = photo_part(sha256)
        return b"".join(self._pieces(name, self.manifest.parts[name].size_bytes))

    def _compare_names(self) -> None:
        names = [info.filename for info in self._archive.infolist()]
        if sorted(names) != sorted([*self.manifest.parts, MANIFEST_NAME]):
            raise _damaged(f"the backup does not hold what its {MANIFEST_NAME} names", self.where)
        for name, part in self.manifest.parts.items():
            info = self._infos[name]
            packed_well = info.compress_type in _PACKINGS and not info.flag_bits & _ENCRYPTED
            if info.file_size != part.size_bytes or not packed_well:
                raise _damaged(f"{name} in the backup is not as it was written", self.where)

    def _pieces(self, name: str, size_bytes: int) -> Iterator[bytes]:
        """Yield the bytes of one file, never more than it is said to have."""
        left = size_bytes
        with self._reading(name), self._archive.open(name) as file:
            while piece := file.read(_PIECE_BYTES):
                left -= len(piece)
                if left < 0:
                    raise _damaged(f"{name} in the backup is too long", self.where)
                yield piece

    @contextmanager
    def _reading(self, name: str) -> Iterator[None]:
        try:
            yield
        except _DAMAGE as error:
            raise _damaged(f"{name} in the backup is damaged", self.where) from error
        except RuntimeError as error:  # what the library raises for an encrypted file
            raise _damaged(f"{name} in the backup is encrypted", self.where) from error


def _damaged(what: str, where: str) -> BackupError:
    return BackupError(what, where=where, cure="Use another copy of the backup")
