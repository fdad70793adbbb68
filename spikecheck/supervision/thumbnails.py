"""Thumbnails of overlays: each made once, kept in a cache folder, made again where it is gone.

A thumbnail is named by the SHA-256 of its overlay, so it is never out of date. It is written beside
its place and moved there in one step; a folder that cannot be written costs time, nothing else.
"""

from __future__ import annotations

import contextlib
import os
import sys
import tempfile
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import TYPE_CHECKING

from spikecheck.errors import StoreError
from spikecheck.imaging.thumbnail import thumbnail
from spikecheck.thresholds.audit import load_audit

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from spikecheck.store import RecordedPhoto

CACHE_VARIABLE = "SPIKECHECK_CACHE"
_DAY_S = 86_400.0
_PART = ".part"
_ABANDONED_S = 3600.0
_LAST = 19  # niceness
_AT_ONCE = 2  # pictures unpacked at the same time: more would only wait for the processor


def thumbnail_folder() -> Path:
    """Return where thumbnails are kept: in SPIKECHECK_CACHE, or in the user's cache folder."""
    given = os.environ.get(CACHE_VARIABLE)
    if given:
        return Path(given).expanduser() / "thumbnails"
    import platformdirs

    return platformdirs.user_cache_path("spikecheck", appauthor=False) / "thumbnails"


class Thumbnails:
    """The thumbnails of one store's overlays; safe to share between threads.

    Parameters
    ----------
    folder
        Where they are kept; made when the first is.
    read
        Returns the bytes of a photo's overlay; StoreError where it is missing or damaged.
    """

    def __init__(self, folder: Path, read: Callable[[RecordedPhoto], bytes]) -> None:
        self._folder = folder
        self._read = read
        self._pool = ThreadPoolExecutor(_AT_ONCE, thread_name_prefix="thumbnails")
        self._ahead = ThreadPoolExecutor(
            _AT_ONCE, thread_name_prefix="thumbnails ahead", initializer=_give_way
        )
        self._counting = threading.Lock()
        self.made = 0

    def of(self, photos: Sequence[RecordedPhoto]) -> list[bytes | None]:
        """Return the thumbnail of each photo's overlay, None where the overlay cannot be shown."""
        found = [self._kept(photo.overlay_sha256) for photo in photos]
        lacking = [place for place, one in enumerate(found) if one is None]
        if lacking:
            made = self._pool.map(self._make, [photos[place] for place in lacking])
            for place, one in zip(lacking, made, strict=True):
                found[place] = one
        return found

    def prepare(self, photos: Iterable[RecordedPhoto]) -> None:
        """Make thumbnails in the background, for a page that may be looked at next.

        Whoever waits for a page comes first, for its pictures and for the processor.
        """
        for photo in photos:
            if not self._path(photo.overlay_sha256).exists():
                self._ahead.submit(self._make, photo)

    def sweep(self) -> None:
        """Remove what nobody looked at for long, and what killed processes left behind."""
        oldest_s = time.time() - load_audit().thumbnails_kept_days * _DAY_S
        left_s = time.time() - _ABANDONED_S
        for path in self._folder.glob("*/*"):
            with contextlib.suppress(OSError):  # swept by another process meanwhile
                if path.stat().st_mtime < (left_s if path.suffix == _PART else oldest_s):
                    path.unlink(missing_ok=True)

    def _kept(self, sha256: str) -> bytes | None:
        path = self._path(sha256)
        try:
            content = path.read_bytes()
        except OSError:
            return None
        with contextlib.suppress(OSError):
            if time.time() - path.stat().st_mtime > _DAY_S:
                os.utime(path)  # looked at: not to be swept
        return content or None

    def _make(self, photo: RecordedPhoto) -> bytes | None:
        kept = self._kept(photo.overlay_sha256)  # made meanwhile for the page before
        if kept is not None:
            return kept
        try:
            made = thumbnail(self._read(photo))
        except StoreError:
            return None
        if made is None:
            return None
        with self._counting:
            self.made += 1
        with contextlib.suppress(OSError):
            _write(self._path(photo.overlay_sha256), made)
        return made

    def _path(self, sha256: str) -> Path:
        return self._folder / sha256[:2] / f"{sha256}.jpg"


def _give_way() -> None:
    """Let everything else run before this thread; only Linux gives each thread its own rank."""
    if sys.platform == "linux":
        with contextlib.suppress(OSError):
            os.setpriority(os.PRIO_PROCESS, threading.get_native_id(), _LAST)


def _write(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, suffix=_PART)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        Path(name).replace(path)
    except OSError:
        Path(name).unlink(missing_ok=True)
        raise
