"""Appends entries to the chain, one writer at a time."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from sqlalchemy import insert, select, update

from spikecheck.history.chain import entry_hash, spelled
from spikecheck.history.step_json import moment_text
from spikecheck.store.moments import now
from spikecheck.store.season_tables import chain_head, entries

if TYPE_CHECKING:
    from collections.abc import Mapping
    from types import TracebackType

    from sqlalchemy import Connection

_AT_ONCE = 1000


class ChainWriter:
    """Appends to the chain within one write transaction; use it in a ``with`` statement.

    Only one such transaction is open at a time, whatever the database: the chain never forks, and
    the rules of a history are asked about what really stands there. Entries are written when the
    statement ends, many at once.

    Parameters
    ----------
    connection
        A write transaction.
    """

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        head = connection.execute(select(chain_head)).one()
        self._number: int = head.number
        self._hash: str = head.hash
        self._waiting: list[dict[str, object]] = []
        self.moment = now()

    @property
    def next_number(self) -> int:
        """Number that the next entry gets."""
        return self._number + 1

    @property
    def head(self) -> str:
        """Hex hash of the last entry."""
        return self._hash

    def add(
        self,
        kind: str,
        body: Mapping[str, object],
        *,
        by: str,
        spike_id: int | None = None,
        corrects: int | None = None,
    ) -> int:
        """Append one entry and return its number.

        Parameters
        ----------
        kind
            What kind of entry.
        body
            What it says, for JSON; number, kind, moment and writer are added.
        by
            Who writes it; may be empty.
        spike_id
            Row of the spike it belongs to, or None.
        corrects
            Number of the entry it corrects, or None.
        """
        self._number += 1
        text = spelled(
            {
                "number": self._number,
                "kind": kind,
                "recorded_at": moment_text(self.moment),
                "recorded_by": by,
                **body,
            }
        )
        hashed = entry_hash(self._hash, text)
        self._waiting.append(
            {
                "number": self._number,
                "kind": kind,
                "spike_id": spike_id,
                "corrects": corrects,
                "body": text,
                "previous_hash": self._hash,
                "hash": hashed,
            }
        )
        self._hash = hashed
        if len(self._waiting) >= _AT_ONCE:
            self._write()
        return self._number

    def write_waiting(self, spike_id: int) -> None:
        """Write what waits if any of it is of this spike, so that its entries can be read."""
        if any(row["spike_id"] == spike_id for row in self._waiting):
            self._write()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if error is None:
            self._write()
            self._connection.execute(
                update(chain_head).values(number=self._number, hash=self._hash)
            )

    def _write(self) -> None:
        if self._waiting:
            self._connection.execute(insert(entries), self._waiting)
            self._waiting = []


def first_hash(connection: Connection) -> str:
    """Return the hash of the first entry, or an empty text where there is none."""
    found = connection.execute(select(entries.c.hash).where(entries.c.number == 1))
    return found.scalar_one_or_none() or ""


def last_hash(connection: Connection) -> str:
    """Return the hash of the last entry."""
    return str(connection.execute(select(chain_head.c.hash)).scalar_one())
