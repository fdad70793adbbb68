"""Proves that history and photos are what they were when they were written.

Three questions, each asked of everything: does every entry follow from the one before it; do the
tables that repeat what the entries say still say the same; are the photos' bytes those that were
recorded. Whoever could rewrite the whole database could rewrite the chain too: a head written down
elsewhere (on paper, in a report) shows that.
"""

from __future__ import annotations

import itertools
import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import func, select

from spikecheck.history.chain import BEGINNING, entry_hash, spelled
from spikecheck.store.season_tables import chain_head, entries, spike_states
from spikecheck.store.tables import check_photos
from spikecheck.store.verification_checks import check_faults
from spikecheck.store.verification_photos import photo_faults
from spikecheck.store.verification_practice import practice_faults
from spikecheck.store.verification_rows import UNREADABLE
from spikecheck.store.verification_spikes import spike_faults
from spikecheck.store.verification_tables import table_faults

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from sqlalchemy import Connection, Row

    from spikecheck.store.database import Database
    from spikecheck.store.photo_files import PhotoFiles

FAULTS_MOST = 100
_AT_ONCE = 2000


@dataclass(frozen=True, slots=True)
class Verification:
    """What was found.

    Parameters
    ----------
    entries, spikes, photos
        How many were looked at; photos and overlays count alike.
    head
        Hash of the last entry; all zeros where there is none.
    head_found
        Whether the head that was asked for stands in the chain, or None if none was.
    faults
        A line each, the first :data:`FAULTS_MOST`; empty when all is well.
    """

    entries: int
    spikes: int
    photos: int
    head: str
    head_found: bool | None
    faults: tuple[str, ...]


def verify(
    database: Database,
    photos: PhotoFiles,
    *,
    head: str | None = None,
    on_progress: Callable[[int, int], None] | None = None,
) -> Verification:
    """Look at every entry, every spike and every photo.

    Parameters
    ----------
    database, photos
        The store.
    head
        Hash written down earlier that must stand in the chain, or None.
    on_progress
        Called now and then with how many things were looked at and of how many.
    """
    counted = _Counted(on_progress)
    faults: list[str] = []
    with database.reading() as connection:
        counted.total = sum(
            connection.execute(select(func.count()).select_from(table)).scalar_one()
            for table in (entries, spike_states, check_photos)
        )
        chain = _Chain(connection, wanted=head)
        for found in (
            chain.faults(counted),
            table_faults(connection),
            practice_faults(connection),
            check_faults(connection),
            spike_faults(connection, counted),
            photo_faults(connection, photos, counted),
        ):
            faults += itertools.islice(_guarded(found), FAULTS_MOST - len(faults))
            if len(faults) >= FAULTS_MOST:
                break
    return Verification(
        entries=chain.seen, spikes=counted.spikes, photos=counted.photos, head=chain.head,
        head_found=None if head is None else chain.found, faults=tuple(faults),
    )  # fmt: skip


class _Counted:
    """How far the looking has come."""

    def __init__(self, on_progress: Callable[[int, int], None] | None) -> None:
        self._on_progress = on_progress
        self._done = 0
        self.total = 0
        self.spikes = 0
        self.photos = 0

    def one(self) -> None:
        """Count one thing looked at."""
        self._done += 1
        if self._on_progress is not None and self._done % _AT_ONCE == 0:
            self._on_progress(min(self._done, self.total), self.total)


class _Chain:
    """The entries in the order of their numbers."""

    def __init__(self, connection: Connection, *, wanted: str | None) -> None:
        self._connection = connection
        self._wanted = wanted
        self.head = BEGINNING
        self.seen = 0
        self.found = wanted == BEGINNING  # the head of records without an entry

    def faults(self, counted: _Counted) -> Iterator[str]:
        """Yield what is wrong with the chain."""
        query = select(entries).order_by(entries.c.number)
        rows = self._connection.execute(query.execution_options(yield_per=_AT_ONCE))
        for row in rows:
            self.seen += 1
            counted.one()
            if row.number != self.seen:
                yield f"entry {self.seen} is missing"
                self.seen = row.number
            if row.previous_hash != self.head:
                yield f"entry {row.number} does not follow from the one before it"
            if row.hash != entry_hash(row.previous_hash, row.body):
                yield f"entry {row.number} was changed"
            elif not _says_the_same(row):
                yield f"entry {row.number} stands in a row that says something else"
            self.head = row.hash
            self.found |= row.hash == self._wanted
        head = self._connection.execute(select(chain_head)).one_or_none()
        if head is None or (head.number, head.hash) != (self.seen, self.head):
            yield f"the chain does not end with entry {self.seen}, which is the last one found"


def _says_the_same(row: Row[Any]) -> bool:
    try:
        said = json.loads(row.body)
    except ValueError:
        return False
    return (
        isinstance(said, dict)
        and spelled(said) == row.body
        and said.get("number") == row.number
        and said.get("kind") == row.kind
        and said.get("corrects") == row.corrects
        # Which spike it is stands in the comparison of spikes.
        and ("spike" in said) == (row.spike_id is not None)
    )


def _guarded(found: Iterator[str]) -> Iterator[str]:
    """Yield what is found; records altered so that they cannot even be read are a fault, too."""
    try:
        yield from found
    except UNREADABLE as error:
        yield f"the records hold what this program never wrote ({error})"
