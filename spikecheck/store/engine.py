"""The connection to the database, and what it needs to lose nothing.

SQLite runs with a write-ahead log, full sync and foreign keys. Writers take the write lock when
they begin (``BEGIN IMMEDIATE``): a transaction that first read and then wants to write would be
refused at once if another process wrote in between, however long it was willing to wait.
PostgreSQL is set up alike by :mod:`spikecheck.store.postgresql`.
"""

from __future__ import annotations

import sqlite3
import time
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from sqlalchemy import create_engine, event

from spikecheck.store import postgresql

if TYPE_CHECKING:
    from collections.abc import Iterator

    import psycopg
    from sqlalchemy import URL, Connection, Engine

_WRITES = "spikecheck_writes"
_RETRY_S = 0.02


def make_engine(url: URL, *, wait_s: float) -> Engine:
    """Return an engine for ``url``; nothing is opened yet.

    Parameters
    ----------
    url
        Address of the database.
    wait_s
        How long to wait for another process's lock, s.
    """
    if url.get_backend_name() == postgresql.BACKEND:
        return _make_postgresql_engine(url, wait_s=wait_s)
    engine = create_engine(url)
    if engine.dialect.name == "sqlite":

        def configure(connection: sqlite3.Connection, _record: object) -> None:
            try:
                _configure_sqlite(connection, wait_s=wait_s)
            except sqlite3.Error:
                connection.close()
                raise

        event.listen(engine, "connect", configure)
        event.listen(engine, "begin", _begin_sqlite)
    return engine


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """Open one read transaction: all its queries see the records as of the first one."""
    options = postgresql.READING_OPTIONS if engine.dialect.name == postgresql.BACKEND else {}
    with engine.execution_options(**options).connect() as connection:
        yield connection


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """Open one write transaction: committed at the end, rolled back on any error.

    It waits until no other writes, so what it reads cannot change before it ends.
    """
    with engine.execution_options(**{_WRITES: True}).begin() as connection:
        yield connection


def _make_postgresql_engine(url: URL, *, wait_s: float) -> Engine:
    engine = create_engine(
        url, connect_args=postgresql.connection_parameters(url), **postgresql.ENGINE_OPTIONS
    )

    def configure(connection: psycopg.Connection[Any], _record: object) -> None:
        postgresql.configure(connection, wait_s=wait_s)

    event.listen(engine, "connect", configure)
    event.listen(engine, "begin", _begin_postgresql)
    return engine


def _begin_postgresql(connection: Connection) -> None:
    if _writes(connection):
        postgresql.take_write_lock(connection)


def _begin_sqlite(connection: Connection) -> None:
    connection.exec_driver_sql("BEGIN IMMEDIATE" if _writes(connection) else "BEGIN")


def _writes(connection: Connection) -> bool:
    return bool(connection.get_execution_options().get(_WRITES, False))


def _configure_sqlite(connection: sqlite3.Connection, *, wait_s: float) -> None:
    # Transactions begin where the program says so, not where the driver guesses.
    connection.isolation_level = None
    connection.execute(f"PRAGMA busy_timeout = {round(wait_s * 1000)}")
    _use_write_ahead_log(connection, wait_s=wait_s)
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA foreign_keys = ON")


def _use_write_ahead_log(connection: sqlite3.Connection, *, wait_s: float) -> None:
    """Switch to the write-ahead log once; SQLite does not always wait by itself here."""
    give_up_at_s = time.monotonic() + wait_s
    while connection.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
        try:
            connection.execute("PRAGMA journal_mode = WAL")
        except sqlite3.OperationalError as error:
            locked = error.sqlite_errorcode & 0xFF == sqlite3.SQLITE_BUSY
            if not locked or time.monotonic() >= give_up_at_s:
                raise
            time.sleep(_RETRY_S)
        else:
            # A file system without shared memory keeps its rollback journal: slower, as safe.
            return
