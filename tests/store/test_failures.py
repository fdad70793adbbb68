from __future__ import annotations

import sqlite3

import pytest
import sqlalchemy.exc

from spikecheck.errors import StoreError
from spikecheck.store.failures import told_plainly


def _from_driver(code: int | None, said: str) -> sqlalchemy.exc.DBAPIError:
    error = sqlite3.OperationalError(said)
    if code is not None:
        error.sqlite_errorcode = code
    return sqlalchemy.exc.OperationalError("SELECT 1", {}, error)


@pytest.mark.parametrize(
    ("failure", "message"),
    [
        (
            _from_driver(sqlite3.SQLITE_IOERR_WRITE, "disk I/O error"),
            (
                "shop: the disk cannot be read or written. "
                "Check the disk and its free space, then try again"
            ),
        ),
        (
            _from_driver(sqlite3.SQLITE_LOCKED, "database table is locked"),
            "shop: another program holds the records. Close it or try again in a moment",
        ),
        (
            _from_driver(None, "connection to server failed\nIs it running?"),
            (
                "shop: the database refuses (connection to server failed). "
                "Check the database and try again"
            ),
        ),
        (
            _from_driver(None, ""),
            "shop: the database refuses (no reason given). Check the database and try again",
        ),
        (
            sqlalchemy.exc.TimeoutError("QueuePool limit"),
            "shop: too many checks are recorded at once. Try again in a moment",
        ),
    ],
)
def test_what_the_database_says_becomes_one_line_with_a_cure(
    failure: sqlalchemy.exc.SQLAlchemyError, message: str
):
    with pytest.raises(StoreError) as caught, told_plainly("shop"):
        raise failure
    assert str(caught.value) == message


def test_mistakes_in_the_program_are_not_dressed_up():
    with pytest.raises(ZeroDivisionError), told_plainly("shop"):
        raise ZeroDivisionError
