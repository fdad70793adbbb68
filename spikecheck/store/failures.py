"""Turns what a database or a disk says into one line that names the cure."""

from __future__ import annotations

import errno
import sqlite3
from contextlib import contextmanager
from typing import TYPE_CHECKING

from spikecheck.errors import StoreError
from spikecheck.language import _
from spikecheck.store.postgresql_failures import postgresql_failure

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sqlalchemy.exc import DBAPIError

_SQLITE = {
    sqlite3.SQLITE_BUSY: (
        "another program holds the records",
        "Close it or try again in a moment",
    ),
    sqlite3.SQLITE_LOCKED: (
        "another program holds the records",
        "Close it or try again in a moment",
    ),
    sqlite3.SQLITE_READONLY: (
        "the records may only be read here",
        "Give yourself the right to write, or use another folder",
    ),
    sqlite3.SQLITE_FULL: ("the disk is full", "Make room and try again; nothing was recorded"),
    sqlite3.SQLITE_IOERR: (
        "the disk cannot be read or written",
        "Check the disk and its free space, then try again",
    ),
    sqlite3.SQLITE_CANTOPEN: (
        "the database file cannot be opened",
        "Check that the folder exists and that you may write to it",
    ),
    sqlite3.SQLITE_NOTADB: (
        "the file is no spikecheck database",
        "Use another folder, or put your copy of the database back",
    ),
    sqlite3.SQLITE_CORRUPT: (
        "the database is damaged",
        "Put your last copy of the folder back",
    ),
}
_DISK = {
    errno.ENOSPC: ("the disk is full", "Make room and try again; nothing was recorded"),
    errno.EDQUOT: ("the disk is full", "Make room and try again; nothing was recorded"),
    errno.EROFS: ("the photo folder may only be read", "Use a folder that you may write to"),
    errno.EACCES: ("no right to the photo folder", "Use a folder that you may write to"),
    errno.EPERM: ("no right to the photo folder", "Use a folder that you may write to"),
}


@contextmanager
def told_plainly(where: str) -> Iterator[None]:
    """Raise :class:`StoreError` naming ``where`` for any failure of the database."""
    from sqlalchemy.exc import DBAPIError
    from sqlalchemy.exc import TimeoutError as PoolTimeoutError

    try:
        yield
    except DBAPIError as error:
        raise _database_failure(error, where) from error
    except PoolTimeoutError as error:
        raise StoreError(
            _("too many checks are recorded at once"), where=where, cure=_("Try again in a moment")
        ) from error


def disk_failure(error: OSError, where: str) -> StoreError:
    """Return the error to raise when a photo cannot be written or read."""
    what, cure = _DISK.get(
        error.errno or 0,
        (f"the photo cannot be kept ({error.strerror})", "Check the disk and try again"),
    )
    return StoreError(what, where=where, cure=cure)


def _database_failure(error: DBAPIError, where: str) -> StoreError:
    original = error.orig
    code = getattr(original, "sqlite_errorcode", None)
    if code is not None and code & 0xFF in _SQLITE:
        what, cure = _SQLITE[code & 0xFF]
        return StoreError(what, where=where, cure=cure)
    told = postgresql_failure(error)
    if told is not None:
        what, cure = told
        return StoreError(what, where=where, cure=cure)
    said = str(original).strip().splitlines() or ["no reason given"]
    return StoreError(
        _("the database refuses ({said})").format(said=said[0]),
        where=where,
        cure=_("Check the database and try again"),
    )
