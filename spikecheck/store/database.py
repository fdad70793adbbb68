"""One database as the parts of the store share it: transactions, failures told plainly."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING

from spikecheck.store.engine import reading, writing
from spikecheck.store.failures import told_plainly

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sqlalchemy import Connection, Engine


class Database:
    """A database at the newest revision.

    Parameters
    ----------
    engine
        Connection to it.
    location
        The place as shown to people.
    """

    def __init__(self, engine: Engine, *, location: str) -> None:
        self.engine = engine
        self.location = location

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Open a read transaction."""
        with told_plainly(self.location), reading(self.engine) as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Open one write transaction: committed at the end, rolled back on any error."""
        with told_plainly(self.location), writing(self.engine) as connection:
            yield connection

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()
