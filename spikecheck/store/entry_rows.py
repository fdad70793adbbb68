"""Entries of spikes in the database, and the one way to add to a spike's history."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy import func, select

from spikecheck.history.replay import replay, steps_in_force
from spikecheck.history.step_json import read_step, step_data
from spikecheck.store.season_tables import entries, sessions, spike_states
from spikecheck.store.spike_rows import hold_tags
from spikecheck.store.spike_states import write_state
from spikecheck.store.tables import spikes
from spikecheck.vocabulary.entry import Entry
from spikecheck.vocabulary.spike_record import SpikeRecord
from spikecheck.vocabulary.steps import AUDIT_KINDS, StepKind, Tagged

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from sqlalchemy import ColumnElement, Connection

    from spikecheck.store.chain_writer import ChainWriter
    from spikecheck.vocabulary.cross import Cross
    from spikecheck.vocabulary.entry import Step


_AT_ONCE = 2000


@dataclass(frozen=True, slots=True)
class SpikeRow:
    """A spike and its row.

    Parameters
    ----------
    id
        Its row.
    cross
        Its cross.
    number
        Its number in the cross.
    """

    id: int
    cross: Cross
    number: int


def select_entries(connection: Connection, spike_id: int) -> tuple[Entry, ...]:
    """Return every entry of a spike, oldest first."""
    query = (
        select(entries.c.kind, entries.c.body)
        .where(entries.c.spike_id == spike_id)
        .order_by(entries.c.number)
    )
    return tuple(read_entry(row.kind, row.body) for row in connection.execute(query))


def select_every_entry(connection: Connection) -> Iterator[tuple[str, int, Entry]]:
    """Yield cross, number of the spike and entry, in the order of entry, a part in memory."""
    query = (
        select(entries.c.kind, entries.c.body, spikes.c.cross_id, spikes.c.number)
        .join_from(entries, spikes, spikes.c.id == entries.c.spike_id)
        .order_by(entries.c.number)
    )
    for row in connection.execution_options(yield_per=_AT_ONCE).execute(query):
        yield row.cross_id, row.number, read_entry(row.kind, row.body)


def select_audit_entries(
    connection: Connection, session: str
) -> Iterator[tuple[str, int, Entry]]:  # fmt: skip
    """Yield cross, number and entry of each step of an audit of a session's spikes, in order."""
    yield from _select_audit_entries(connection, spike_states.c.session_id == session)


def select_redrawn_entries(connection: Connection) -> Iterator[tuple[str, int, Entry]]:
    """Yield the same of every spike that was drawn more than once."""
    audited = select(spike_states.c.spike_id).where(spike_states.c.audit.is_not(None))
    redrawn = (
        select(entries.c.spike_id)
        .where(entries.c.spike_id.in_(audited), entries.c.kind == StepKind.DRAWN_FOR_AUDIT.value)
        .group_by(entries.c.spike_id)
        .having(func.count() > 1)
    )
    yield from _select_audit_entries(connection, spike_states.c.spike_id.in_(redrawn))


def _select_audit_entries(
    connection: Connection, condition: ColumnElement[bool]
) -> Iterator[tuple[str, int, Entry]]:
    query = (
        select(entries.c.kind, entries.c.body, spikes.c.cross_id, spikes.c.number)
        .join_from(spike_states, entries, entries.c.spike_id == spike_states.c.spike_id)
        .join(spikes, spikes.c.id == spike_states.c.spike_id)
        .where(
            condition,
            spike_states.c.audit.is_not(None),
            entries.c.kind.in_([kind.value for kind in AUDIT_KINDS]),
        )
        .order_by(entries.c.number)
    )
    for row in connection.execute(query):
        yield row.cross_id, row.number, read_entry(row.kind, row.body)


def read_entry(kind: str, body: str) -> Entry:
    """Return the entry of a spike spelled ``body``."""
    data = json.loads(body)
    step = data["step"]
    return Entry(
        number=data["number"],
        kind=StepKind(kind),
        step=None if step is None else read_step(StepKind(kind), step),
        corrects=data["corrects"],
        recorded_at=datetime.fromisoformat(data["recorded_at"]),
        recorded_by=data["recorded_by"],
        reason=data["reason"],
    )


def append_step(
    connection: Connection,
    chain: ChainWriter,
    spike: SpikeRow,
    step: Step | None,
    *,
    kind: StepKind,
    corrects: int | None = None,
    reason: str = "",
    by: str,
) -> SpikeRecord:
    """Add to the history of a spike what may be added, and return the spike as it stands then.

    Parameters
    ----------
    connection, chain
        A write transaction that holds the chain.
    spike
        Whose history.
    step
        What happened, or None to take the entry ``corrects`` back.
    kind
        What kind of step it is, or was if it is taken back.
    corrects, reason
        The entry that is replaced or taken back, and why.
    by
        Who writes it.

    Raises
    ------
    StepError
        If the history would be one that cannot be.
    TagError
        If the tag belongs to another spike.
    """
    chain.write_waiting(spike.id)
    before = select_entries(connection, spike.id)
    added = Entry(
        number=chain.next_number, kind=kind, step=step, corrects=corrects,
        recorded_at=chain.moment, recorded_by=by, reason=reason,
    )  # fmt: skip
    record = standing(connection, spike, (*before, added))
    _hold_tags(connection, spike, (*before, added))
    chain.add(
        added.kind,
        {
            "cross": spike.cross.id, "spike": spike.number,
            "step": None if step is None else step_data(step),
            "corrects": corrects, "reason": reason,
        },
        by=by, spike_id=spike.id, corrects=corrects,
    )  # fmt: skip
    write_state(connection, spike.id, record)
    return record


def standing(connection: Connection, spike: SpikeRow, known: Sequence[Entry]) -> SpikeRecord:
    """Return what the entries ``known`` of a spike add up to; StepError if they cannot be."""
    cross = spike.cross
    start = SpikeRecord(
        cross=cross.id, spike=spike.number, crop=cross.crop, female=cross.female, male=cross.male
    )
    steps = steps_in_force(known)
    named = {step.session for step in steps if step.session}
    places = connection.execute(
        select(sessions.c.id, sessions.c.place).where(sessions.c.id.in_(named))
    )
    return replay(start, steps, places={row.id: row.place for row in places})


def _hold_tags(connection: Connection, spike: SpikeRow, known: Sequence[Entry]) -> None:
    details = [step.detail for step in steps_in_force(known)]
    codes = {detail.code for detail in details if isinstance(detail, Tagged)}
    hold_tags(connection, spike.id, codes, shown=f"{spike.cross.id}/{spike.number}")
