"""Puts right what was planned wrongly of a cross, as long as its spikes' histories still hold."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from sqlalchemy import select, update

from spikecheck.errors import StepError, UsageError
from spikecheck.store.crosses import select_cross
from spikecheck.store.entry_rows import SpikeRow, select_entries, standing
from spikecheck.store.plan_writer import PlanWriter, cross_body
from spikecheck.store.spike_states import write_state
from spikecheck.store.tables import crosses, spikes
from spikecheck.store.tidy_plan import tidy_cross, tidy_parent
from spikecheck.vocabulary.plan import PlannedCross, PlannedParent

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy import Connection

    from spikecheck.store.chain_writer import ChainWriter
    from spikecheck.vocabulary.cross import Cross

CHANGEABLE = ("female", "male", "note", "purpose", "seeds_wanted", "crop", "project")


def change_cross(
    connection: Connection,
    chain: ChainWriter,
    cross_id: str,
    new: Mapping[str, object],
    *,
    by: str,
    reason: str,
) -> Cross:
    """Set fields of a recorded cross to ``new`` and return it; the history keeps what they were.

    Raises
    ------
    UnknownCrossError
        If there is no such cross.
    UsageError
        If nothing changes, or a value cannot be kept.
    StepError
        If what happened to a spike of it could then not have happened.
    """
    was = select_cross(connection, cross_id)
    fields: dict[str, Any] = {name: getattr(was, name) for name in CHANGEABLE} | dict(new)
    planned = PlannedCross(
        was.id,
        PlannedParent(str(fields.pop("female"))),
        PlannedParent(str(fields.pop("male"))),
        **fields,
    )
    cross = replace(tidy_cross(planned, was.created_at), created_at=was.created_at)
    if cross == was:
        raise UsageError("nothing changes", where=f"cross {was.id}", cure="Give another value")
    writer = PlanWriter(connection, chain, by=by)
    for parent in (planned.female, planned.male):
        writer.parent(tidy_parent(parent))
    connection.execute(
        update(crosses)
        .where(crosses.c.id == was.id)
        .values(**{name: getattr(cross, name) for name in CHANGEABLE})
    )
    chain.add("cross_changed", {"data": {**cross_body(cross), "reason": reason}}, by=by)
    _replay_spikes(connection, cross)
    return cross


def _replay_spikes(connection: Connection, cross: Cross) -> None:
    rows = connection.execute(
        select(spikes.c.id, spikes.c.number).where(spikes.c.cross_id == cross.id)
    ).all()
    for row in rows:
        known = select_entries(connection, row.id)
        if not known:
            continue
        try:
            record = standing(connection, SpikeRow(row.id, cross, row.number), known)
        except StepError as error:
            raise StepError(
                f"cannot be changed so: {error.what}",
                where=error.where,
                cure="Correct that entry first, or plan another cross",
            ) from error
        write_state(connection, row.id, record)
