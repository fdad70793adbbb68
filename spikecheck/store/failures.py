"""Turns what a database or a disk says into one line that names the cure."""

from __future__ import annotations

import errno
import sqlite3
from contextlib import contextmanager
from typing import TYPE_CHECKING

from spikecheck.errors import StoreError
from spikecheck.language import N_, _
from spikecheck.store.postgresql_failures import postgresql_failure

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sqlalchemy.exc import DBAPIError

# By the exact code where it says more than the kind of error, which is its last byte
# (sqlite.org/rescode.html).
_SQLITE = {
    sqlite3.SQLITE_BUSY: (
        N_("another program holds the records"),
        N_("Close it or try again in a moment"),
    ),
    sqlite3.SQLITE_LOCKED: (
        N_("another program holds the records"),
        N_("Close it or try again in a moment"),
    ),
    sqlite3.SQLITE_READONLY: (
        N_("the records may only be read here"),
        N_("Give yourself the right to write, or use another folder"),
    ),
    sqlite3.SQLITE_FULL: (
        N_("the disk is full"),
        N_("Make room and try again; nothing was recorded"),
    ),
    # Reading needs an index of the write-ahead log, 32 KiB beside the database, which who comes
    # first makes (sqlite.org/wal.html, "Read-Only Databases"). To go without it, as an "immutable"
    # database, would be to read wrongly while somebody writes.
    sqlite3.SQLITE_IOERR_SHMSIZE: (
        N_("the disk is full, and a little room is needed to read the records as well"),
        N_("Make room and try again; nothing was recorded, and no record is lost"),
    ),
    sqlite3.SQLITE_IOERR: (
        N_("the disk cannot be read or written"),
        N_("Check the disk and its free space, then try again"),
    ),
    sqlite3.SQLITE_CANTOPEN: (
        N_("the database file cannot be opened"),
        N_("Check that the folder exists and that you may write to it"),
    ),
    sqlite3.SQLITE_NOTADB: (
        N_("the file is no spikecheck database"),
        N_("Use another folder, or put your copy of the database back"),
    ),
    sqlite3.SQLITE_CORRUPT: (
        N_("the database is damaged"),
        N_("Put your last copy of the folder back"),
    ),
}
_DISK = {
    errno.ENOSPC: (N_("the disk is full"), N_("Make room and try again; nothing was recorded")),
    errno.EDQUOT: (N_("the disk is full"), N_("Make room and try again; nothing was recorded")),
    errno.EROFS: (
        N_("the photo folder may only be read"),
        N_("Use a folder that you may write to"),
    ),
    errno.EACCES: (N_("no right to the photo folder"), N_("Use a folder that you may write to")),
    errno.EPERM: (N_("no right to the photo folder"), N_("Use a folder that you may write to")),
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
        (
            _("the photo cannot be kept ({reason})").format(reason=error.strerror),
            N_("Check the disk and try again"),
        ),
    )
    return StoreError(_(what), where=where, cure=_(cure))


def _database_failure(error: DBAPIError, where: str) -> StoreError:
    original = error.orig
    code = getattr(original, "sqlite_errorcode", None)
    known = None if code is None else _SQLITE.get(code, _SQLITE.get(code & 0xFF))
    if known is not None:
        what, cure = known
        return StoreError(_(what), where=where, cure=_(cure))
    told = postgresql_failure(error)
    if told is not None:
        what, cure = told
        return StoreError(_(what), where=where, cure=_(cure))
    said = str(original).strip().splitlines() or [_("no reason given")]
    return StoreError(
        _("the database refuses ({said})").format(said=said[0]),
        where=where,
        cure=_("Check the database and try again"),
    )
