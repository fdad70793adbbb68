"""Whether what is kept of each spike is what its entries add up to."""

from __future__ import annotations

import json
from itertools import groupby
from typing import TYPE_CHECKING, Protocol

from sqlalchemy import select

from spikecheck.errors import SpikecheckError
from spikecheck.history.replay import steps_in_force
from spikecheck.store.crosses import select_cross
from spikecheck.store.entry_rows import SpikeRow, read_entry, standing
from spikecheck.store.season_tables import entries, tags
from spikecheck.store.spike_states import select_state, state_values
from spikecheck.store.tables import spikes
from spikecheck.vocabulary.steps import Tagged

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from sqlalchemy import Connection

    from spikecheck.vocabulary.entry import Entry

_AT_ONCE = 2000


class Counted(Protocol):
    """Counts spikes looked at."""

    spikes: int

    def one(self) -> None:
        """Count one thing looked at."""


def spike_faults(connection: Connection, counted: Counted) -> Iterator[str]:
    """Yield a line for each spike whose state or tags are not what its entries say."""
    query = (
        select(
            entries.c.spike_id, entries.c.kind, entries.c.body, spikes.c.cross_id, spikes.c.number
        )
        .join_from(entries, spikes, spikes.c.id == entries.c.spike_id)
        .order_by(entries.c.spike_id, entries.c.number)
    )
    rows = connection.execute(query.execution_options(yield_per=_AT_ONCE))
    for (row_id, cross, number), several in groupby(
        rows, key=lambda row: (row.spike_id, row.cross_id, row.number)
    ):
        counted.spikes += 1
        counted.one()
        shown = f"spike {cross}/{number}"
        try:
            bodies = [(row.kind, row.body) for row in several]
            known = [read_entry(kind, body) for kind, body in bodies]
            if any(_named(body) != (cross, number) for _, body in bodies):
                yield f"{shown} has entries of another spike"
            spike = SpikeRow(row_id, select_cross(connection, cross), number)
            said = state_values(standing(connection, spike, known))
            if {"spike_id": row_id, **said} != select_state(connection, row_id):
                yield f"{shown} is not kept as its entries say"
        except (SpikecheckError, KeyError, TypeError, ValueError) as error:
            yield f"{shown} has a history that cannot be ({error})"
            continue
        if _tags_said(known) != _tags_kept(connection, row_id):
            yield f"{shown} has other tags than its entries say"
    silent = select(spikes.c.cross_id, spikes.c.number).where(
        spikes.c.id.not_in(select(entries.c.spike_id).where(entries.c.spike_id.is_not(None)))
    )
    for cross, number in connection.execute(silent):
        yield f"spike {cross}/{number} is there and no entry tells of it"


def _named(body: str) -> tuple[str, int]:
    said = json.loads(body)
    return said["cross"], said["spike"]


def _tags_said(known: Sequence[Entry]) -> set[str]:
    details = [step.detail for step in steps_in_force(known)]
    return {detail.code for detail in details if isinstance(detail, Tagged)}


def _tags_kept(connection: Connection, spike_id: int) -> set[str]:
    return set(connection.execute(select(tags.c.code).where(tags.c.spike_id == spike_id)).scalars())
