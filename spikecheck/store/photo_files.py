"""Photos and overlays as files named by their SHA-256: the same bytes are kept once.

A file is written beside its place in ``incoming/``, synced, moved in one step and its folder
synced, so that a killed process leaves the whole file or none. What it leaves in ``incoming/`` is
never read and is swept away when a store is opened an hour or more later.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

from spikecheck.errors import StoreError
from spikecheck.language import _
from spikecheck.store.durable import make_folder, sync_folder
from spikecheck.store.failures import disk_failure

if TYPE_CHECKING:
    from collections.abc import Iterator

_INCOMING = "incoming"
_ABANDONED_S = 3600.0
# The ending is for people who open the folder; it follows from the bytes, not from the name.
_ENDINGS = (
    (0, b"\xff\xd8\xff", ".jpg"),
    (0, b"\x89PNG\r\n\x1a\n", ".png"),
    (0, b"II*\0", ".tif"),
    (0, b"MM\0*", ".tif"),
    (8, b"WEBP", ".webp"),
    (4, b"ftyp", ".heic"),
)


class PhotoFiles:
    """The photo folder of one store.

    Parameters
    ----------
    folder
        Where the files lie; made when the first is kept.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def keep(self, content: bytes) -> str:
        """Keep ``content`` so that it outlives a power cut, and return its SHA-256.

        A file that is there already is kept when it is whole and replaced when it is damaged.

        Raises
        ------
        StoreError
            If it cannot be written.
        """
        sha256 = hashlib.sha256(content).hexdigest()
        path = self._path(sha256, _ending(content))
        try:
            make_folder(path.parent, make_parents=True)
            if not _holds(path, content):
                self._write(path, content)
            # Also for a file found there: whoever moved it may have been killed before this.
            sync_folder(path.parent)
            sync_folder(self._folder)
        except OSError as error:
            raise disk_failure(error, str(self._folder)) from error
        return sha256

    def read(self, sha256: str) -> bytes:
        """Return the bytes whose digest is ``sha256``.

        Raises
        ------
        StoreError
            If the file is missing, damaged or cannot be read.
        """
        found = False
        for path in self._candidates(sha256):
            found = True
            try:
                content = path.read_bytes()
            except OSError as error:
                raise disk_failure(error, str(path)) from error
            if hashlib.sha256(content).hexdigest() == sha256:
                return content
        what = _("the photo is damaged") if found else _("the photo is missing")
        raise StoreError(
            f"{what} ({sha256[:12]}…)",
            where=str(self._folder),
            cure=_("Put it back from a copy, or record the same file again"),
        )

    def sweep(self) -> None:
        """Remove what killed processes left behind an hour or more ago."""
        oldest_s = time.time() - _ABANDONED_S
        for path in (self._folder / _INCOMING).glob("*"):
            try:
                if path.stat().st_mtime < oldest_s:
                    path.unlink(missing_ok=True)
            except OSError:
                # Swept by another process meanwhile, or not ours to sweep: harmless either way.
                continue

    def _write(self, path: Path, content: bytes) -> None:
        make_folder(self._folder / _INCOMING)
        handle, name = tempfile.mkstemp(dir=self._folder / _INCOMING)
        temporary = Path(name)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            os.replace(temporary, path)  # noqa: PTH105  (one call to stop at in the kill test)
        except OSError:
            temporary.unlink(missing_ok=True)
            raise

    def _path(self, sha256: str, ending: str) -> Path:
        return self._folder / sha256[:2] / f"{sha256}{ending}"

    def _candidates(self, sha256: str) -> Iterator[Path]:
        return (self._folder / sha256[:2]).glob(f"{sha256}*")


def _ending(content: bytes) -> str:
    for offset, magic, ending in _ENDINGS:
        if content[offset : offset + len(magic)] == magic:
            return ending
    return ""


def _holds(path: Path, content: bytes) -> bool:
    try:
        return path.stat().st_size == len(content) and path.read_bytes() == content
    except FileNotFoundError:
        return False
