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
            _from_driver(sqlite3.SQLITE_IOERR_SHMSIZE, "disk I/O error"),
            (
                "shop: the disk is full, and a little room is needed to read the records as well. "
                "Make room and try again; nothing was recorded, and no record is lost"
            ),
        ),
        (
            _from_driver(sqlite3.SQLITE_LOCKED, "database table is locked"),
            "shop: another program holds the records. Close it or try again in a moment",
        ),
        (
            _from_driver(None, "something unheard of\nsecond line"),
            ("shop: the database refuses (something unheard of). Check the database and try again"),
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


class _ServerError(Exception):
    """What a driver raises when the server answered with an SQLSTATE."""

    def __init__(self, state: str | None, said: str = "in any language") -> None:
        super().__init__(said)
        self.sqlstate = state


@pytest.mark.parametrize(
    ("state", "message"),
    [
        ("40001", "another program changed the records at the same moment. Try again; nothing"),
        ("40P01", "another program changed the records at the same moment. Try again; nothing"),
        ("53100", "the disk is full. Make room and try again; nothing was recorded"),
        ("53300", "the database has no connection left. Close another program"),
        ("57P01", "the connection to the database was lost. Look whether the last entry"),
        ("57P03", "the database server is starting or stopping. Try again in a moment"),
        ("28P01", "user or password is wrong. Mend the address"),
        ("XX000", "the database refuses (in any language). Check the database and try again"),
    ],
)
def test_states_of_the_server_are_told_in_any_language(state: str, message: str):
    failure = sqlalchemy.exc.OperationalError("SELECT 1", {}, _ServerError(state))
    with pytest.raises(StoreError) as caught, told_plainly("shop"):
        raise failure
    assert str(caught.value).startswith(f"shop: {message}")


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ('connection failed: FATAL:  role "ida" does not exist', "lets this user or machine not"),
        ('connection failed: FATAL:  database "x" does not exist', "there is no such database"),
        ('FATAL:  no pg_hba.conf entry for host "192.0.2.7"', "lets this user or machine not in"),
        ("failed to resolve host 'nowhere': Name or service not known", "cannot be reached"),
        ("connection timeout expired", "the database server cannot be reached"),
        ("FATAL:  sorry, too many clients already", "the database has no connection left"),
    ],
)
def test_words_of_a_connection_that_never_came_about_are_understood(said: str, message: str):
    failure = sqlalchemy.exc.OperationalError("SELECT 1", {}, _ServerError(None, said))
    with pytest.raises(StoreError, match=message), told_plainly("shop"):
        raise failure


def test_lost_connection_does_not_claim_that_nothing_was_recorded():
    """A commit may have arrived although its answer did not."""
    failure = sqlalchemy.exc.OperationalError(
        "COMMIT", {}, _ServerError(None, "gone"), connection_invalidated=True
    )
    with pytest.raises(StoreError, match="to the database was lost") as caught, told_plainly("x"):
        raise failure
    assert "nothing was recorded" not in str(caught.value)
