from __future__ import annotations

import sqlite3
import threading
from typing import TYPE_CHECKING, Any

import pytest
import sqlalchemy as sa

from spikecheck.store.engine import _use_write_ahead_log, make_engine, writing

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


class _BusyAtFirst(sqlite3.Connection):
    """Refuses to change the journal twice, as SQLite does when two processes make a database."""

    refusals = 2

    def execute(self, statement: str, *given: Any) -> sqlite3.Cursor:
        if statement == "PRAGMA journal_mode = WAL" and self.refusals:
            self.refusals -= 1
            error = sqlite3.OperationalError("database is locked")
            error.sqlite_errorcode = sqlite3.SQLITE_BUSY
            raise error
        return super().execute(statement, *given)


@pytest.fixture
def busy(tmp_path: Path) -> Iterator[_BusyAtFirst]:
    connection = sqlite3.connect(tmp_path / "own.db", factory=_BusyAtFirst)
    yield connection
    connection.close()


def test_write_ahead_log_is_asked_for_again_while_another_makes_it(busy: _BusyAtFirst):
    _use_write_ahead_log(busy, wait_s=5.0)
    assert busy.execute("PRAGMA journal_mode").fetchone() == ("wal",)


def test_write_ahead_log_is_not_asked_for_for_ever(busy: _BusyAtFirst):
    with pytest.raises(sqlite3.OperationalError, match="database is locked"):
        _use_write_ahead_log(busy, wait_s=0.0)


def test_writers_wait_for_one_another_even_when_they_read_first(tmp_path: Path):
    """With a plain BEGIN all but one would be refused at once."""
    engine = make_engine(sa.make_url(f"sqlite:///{tmp_path / 'own.db'}"), wait_s=20.0)
    with writing(engine) as connection:
        connection.exec_driver_sql("CREATE TABLE counts (n INTEGER)")
        connection.exec_driver_sql("INSERT INTO counts VALUES (0)")

    def count_up() -> None:
        for _ in range(25):
            with writing(engine) as connection:
                n = connection.exec_driver_sql("SELECT n FROM counts").scalar_one()
                connection.exec_driver_sql(f"UPDATE counts SET n = {n + 1}")

    threads = [threading.Thread(target=count_up) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT n FROM counts").scalar_one() == 100
    engine.dispose()
