"""Brings a database to the newest revision; quick when it is there already.

Reading the revision costs a query. Alembic is only imported when there is something to do. The
whole upgrade is one transaction under the write lock, so that a killed process leaves either the
old tables or the new ones, and two processes that open a new store at once make one.
"""

from __future__ import annotations

import threading
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import column, inspect, select, table

from spikecheck.errors import StoreError
from spikecheck.language import _
from spikecheck.store.engine import writing
from spikecheck.store.postgresql import BACKEND

if TYPE_CHECKING:
    from alembic.config import Config
    from sqlalchemy import Connection, Engine

HEAD = "0005"
VERSION_TABLE = "alembic_version"
_OLDEST_TABLE = "crosses"
# Alembic keeps the migration it is running in module variables: one thread at a time.
_ONE_AT_A_TIME = threading.Lock()


def bring_to_head(engine: Engine, *, where: str) -> None:
    """Make or upgrade the tables.

    Raises
    ------
    StoreError
        If a newer spikecheck wrote the database, or another program.
    """
    with engine.connect() as connection:
        if read_revision(connection, where) == HEAD:
            return
    with writing(engine) as connection:
        # Asked again: another process may have upgraded while this one waited for the lock.
        if read_revision(connection, where) != HEAD:
            upgrade(connection, where)


def migration_config(connection: Connection) -> Config:
    """Return Alembic's configuration for ``connection``."""
    from alembic.config import Config

    config = Config()
    folder = Path(__file__).parent / "migrations"
    config.set_main_option("script_location", str(folder).replace("%", "%%"))
    config.attributes["connection"] = connection
    return config


def read_revision(connection: Connection, where: str) -> str | None:
    """Return the revision of the tables, None where there are none yet.

    Raises
    ------
    StoreError
        If the tables are another program's.
    """
    names = inspect(connection).get_table_names()
    revision: str | None = None
    if VERSION_TABLE in names:
        version = table(VERSION_TABLE, column("version_num"))
        revision = connection.execute(select(version.c.version_num)).scalar_one_or_none()
    # Other programs keep a version table of this name too.
    ours = _OLDEST_TABLE in names if revision is not None else set(names) <= {VERSION_TABLE}
    if not ours:
        raise StoreError(
            _("the database belongs to another program"), where=where, cure=_("Give one of its own")
        )
    return revision


def upgrade(connection: Connection, where: str, *, to: str = "head") -> None:
    """Make or upgrade the tables in a write transaction.

    Parameters
    ----------
    connection
        The transaction.
    where
        The place as shown to people.
    to
        The revision to end at, a known one.

    Raises
    ------
    StoreError
        If a newer spikecheck wrote the database, or it cannot hold every script.
    """
    from alembic import command

    config = migration_config(connection)
    revision = read_revision(connection, where)
    if revision is not None and not knows_revision(connection, revision):
        raise StoreError(
            _("a newer spikecheck wrote these records (revision {revision})").format(
                revision=revision
            ),
            where=where,
            cure=_("Install the newest spikecheck"),
        )
    _refuse_narrow_text(connection, where)
    with _ONE_AT_A_TIME:
        command.upgrade(config, to)


def knows_revision(connection: Connection, revision: str) -> bool:
    """Say whether this version of spikecheck has ``revision``."""
    from alembic.script import ScriptDirectory

    script = ScriptDirectory.from_config(migration_config(connection))
    return any(known.revision == revision for known in script.walk_revisions())


def _refuse_narrow_text(connection: Connection, where: str) -> None:
    """Refuse a database that cannot hold every script."""
    if connection.dialect.name != BACKEND:
        return
    encoding = connection.exec_driver_sql("SHOW server_encoding").scalar_one()
    if encoding != "UTF8":
        raise StoreError(
            _("the database keeps text as {encoding}, which lacks most scripts").format(
                encoding=encoding
            ),
            where=where,
            cure=_("Make one with createdb --encoding=UTF8 --template=template0 NAME"),
        )
