"""Crosses in the database: finding them, counting their spikes."""

from __future__ import annotations

import difflib
from typing import TYPE_CHECKING, Any

from sqlalchemy import case, func, select

from spikecheck.errors import UnknownCrossError
from spikecheck.language import _
from spikecheck.store.records import CrossSummary
from spikecheck.store.season_tables import spike_states
from spikecheck.store.tables import crosses, spikes
from spikecheck.vocabulary.cross import Cross
from spikecheck.vocabulary.text import folded_id
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from sqlalchemy import Connection, Row

_NEAR_MATCHES = 3
_COLUMNS = (
    crosses.c.id, crosses.c.female, crosses.c.male, crosses.c.note, crosses.c.created_at,
    crosses.c.purpose, crosses.c.seeds_wanted, crosses.c.crop, crosses.c.project,
)  # fmt: skip


def select_cross(connection: Connection, cross_id: str) -> Cross:
    """Return the cross ``cross_id``.

    Raises
    ------
    UnknownCrossError
        If there is none; the message names ids that look like it.
    """
    row = connection.execute(select(*_COLUMNS).where(crosses.c.id == cross_id)).one_or_none()
    if row is None:
        raise UnknownCrossError(
            _("no cross {cross_id} is recorded").format(cross_id=cross_id),
            cure=_suggestion(connection, cross_id),
        )
    return _cross(row)


def select_summaries(connection: Connection) -> tuple[CrossSummary, ...]:
    """Return every cross with its counts, in the order of adding."""
    standing = (
        select(spikes.c.cross_id, spike_states.c.verdict)
        .join_from(spike_states, spikes)
        .where(spike_states.c.verdict.is_not(None))
        .subquery()
    )
    passed = func.sum(case((standing.c.verdict == Verdict.PASS.value, 1), else_=0))
    query = (
        select(*_COLUMNS, func.count(standing.c.verdict).label("spikes"), passed.label("passed"))
        .outerjoin_from(crosses, standing, standing.c.cross_id == crosses.c.id)
        .group_by(*_COLUMNS)
        .order_by(crosses.c.created_at, crosses.c.id)
    )
    return tuple(
        CrossSummary(
            _cross(row), spikes=row.spikes, passed=row.passed, review=row.spikes - row.passed
        )
        for row in connection.execute(query)
    )


def _suggestion(connection: Connection, cross_id: str) -> str:
    wanted = folded_id(cross_id)
    alike = select(crosses.c.id).where(crosses.c.folded == wanted)
    if near := connection.execute(alike.order_by(crosses.c.created_at)).scalars().all():
        return _("Did you mean {ids}?").format(ids=_(" or ").join(near))
    known = {
        row.folded: row.id for row in connection.execute(select(crosses.c.folded, crosses.c.id))
    }
    close = difflib.get_close_matches(wanted, known, n=_NEAR_MATCHES)
    if close:
        return _("Did you mean {ids}?").format(ids=_(" or ").join(known[name] for name in close))
    return _("Add the cross first") if known else _("No cross is recorded yet: add it first")


def _cross(row: Row[*tuple[Any, ...]]) -> Cross:
    return Cross(**{column.name: getattr(row, column.name) for column in _COLUMNS})
