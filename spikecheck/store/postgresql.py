"""What PostgreSQL needs to keep records as SQLite does: one writer at a time, whole readings.

A write transaction first takes an advisory lock of the database, which stands in for SQLite's
``BEGIN IMMEDIATE``: numbers rise in the order of recording, two programs that open a new database
at once make its tables once, and writers of spikecheck can neither deadlock nor fail to be put in
an order. Under READ COMMITTED what comes after the lock sees all that was written before it. A
read transaction is REPEATABLE READ, so that the several queries of one reading see one state.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import psycopg
    from sqlalchemy import URL, Connection

BACKEND = "postgresql"
DRIVER = "postgresql+psycopg"
# The names people write; SQLAlchemy itself would look for another driver, or refuse.
PLAIN_NAMES = frozenset({"postgres", "postgresql"})

# Any number will do as long as it never changes: the letters "spike" as an integer.
_WRITE_LOCK = int.from_bytes(b"spike", "big")

ENGINE_OPTIONS: dict[str, Any] = {"isolation_level": "READ COMMITTED", "pool_pre_ping": True}
READING_OPTIONS: dict[str, Any] = {"isolation_level": "REPEATABLE READ"}
# Connection parameters of libpq, times in s: a server that is gone is noticed within a minute.
_PARAMETERS: dict[str, Any] = {
    "application_name": "spikecheck",
    "client_encoding": "UTF8",
    "connect_timeout": 10,
    "keepalives_idle": 30,
    "keepalives_interval": 10,
    "keepalives_count": 3,
    # Another spikecheck may change the tables under a statement that was prepared before.
    "prepare_threshold": None,
}


def connection_parameters(url: URL) -> dict[str, Any]:
    """Return what to connect with, less what the address itself says."""
    return {name: value for name, value in _PARAMETERS.items() if name not in url.query}


def configure(connection: psycopg.Connection[Any], *, wait_s: float) -> None:
    """Set a new connection to UTC, and to wait no longer than ``wait_s`` for a lock, s."""
    connection.execute(
        "SELECT set_config('TimeZone', 'UTC', false), set_config('lock_timeout', %s, false)",
        (f"{round(wait_s * 1000)}ms",),
    )
    connection.commit()


def take_write_lock(connection: Connection) -> None:
    """Wait until no other transaction writes; the lock goes with the transaction."""
    connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({_WRITE_LOCK})")
