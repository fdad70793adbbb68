"""Whether the tables of plans, sessions, temperatures and numbers say what the entries say.

Every column of every table is compared with an entry, or follows from one: a column that nothing
compares could be altered unseen.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import func, select

from spikecheck.history.step_json import moment_text
from spikecheck.store.season_tables import (
    daily_temperatures,
    parents,
    season_changes,
    session_people,
    sessions,
    temperature_readings,
    temperature_sources,
)
from spikecheck.store.tables import crosses
from spikecheck.store.temperatures import temperatures_digest
from spikecheck.store.verification_rows import (
    AT_ONCE,
    Said,
    entry_faults,
    sequence_faults,
    sum_faults,
)
from spikecheck.vocabulary.text import folded_id

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sqlalchemy import Connection, Row


def table_faults(connection: Connection) -> Iterator[str]:
    """Yield a line for each row that an entry contradicts, and for rows without an entry."""
    yield from sum_faults(
        connection, ("cross_planned", "cross_changed"), crosses,
        key="cross", what="cross", kept=_cross,
    )  # fmt: skip
    yield from _misfolded(connection)
    yield from sum_faults(
        connection, ("parent_recorded", "parent_changed"), parents,
        key="name", what="parent", kept=_parent,
    )  # fmt: skip
    yield from entry_faults(connection, "session_opened", sessions, _session)
    yield from entry_faults(connection, "temperatures_recorded", temperature_sources, _temperatures)
    yield from _stray_temperatures(connection)
    yield from sequence_faults(
        connection, "number_changed", season_changes,
        said=_number_said, kept=_number, shown=lambda crop: f"the changed numbers of {crop}",
    )  # fmt: skip


def _misfolded(connection: Connection) -> Iterator[str]:
    """Yield a line for each cross that an id in other letters would not find."""
    query = select(crosses.c.id, crosses.c.folded).execution_options(yield_per=AT_ONCE)
    for row in connection.execute(query):
        if row.folded != folded_id(row.id):
            yield f"cross {row.id} is kept under {row.folded!r}, not under {folded_id(row.id)!r}"


def _cross(row: Row[Any]) -> Said:
    return {
        "cross": row.id, "female": row.female, "male": row.male, "note": row.note,
        "purpose": row.purpose, "seeds_wanted": row.seeds_wanted, "crop": row.crop,
        "project": row.project, "created_at": moment_text(row.created_at),
    }  # fmt: skip


def _parent(row: Row[Any]) -> Said:
    return {
        "name": row.name, "accession": row.accession, "pedigree": row.pedigree,
        "place": row.place, "created_at": moment_text(row.created_at),
    }  # fmt: skip


def _session(connection: Connection, said: Said) -> Said | None:
    row = connection.execute(
        select(sessions).where(sessions.c.id == said["data"]["session"])
    ).one_or_none()
    people = connection.execute(
        select(session_people)
        .where(session_people.c.session_id == said["data"]["session"])
        .order_by(session_people.c.position)
    ).all()
    if row is None or [one.position for one in people] != list(range(len(people))):
        return None
    return {
        "recorded_at": moment_text(row.created_at),
        "data": {
            "session": row.id, "day": row.day.isoformat(), "place": row.place,
            "people": [one.name for one in people], "note": row.note,
        },
    }  # fmt: skip


def _temperatures(connection: Connection, said: Said) -> Said | None:
    row = connection.execute(
        select(temperature_sources).where(temperature_sources.c.id == said["data"]["source"])
    ).one_or_none()
    if row is None:
        return None
    constant = (row.air_c, row.start_at, row.end_at)
    if row.kind != "constant" and constant != (None, None, None):
        return None
    return {
        "recorded_at": moment_text(row.recorded_at),
        "recorded_by": row.recorded_by,
        "data": {
            "source": row.id, "place": row.place, "kind": row.kind, "zone": row.zone,
            "file_name": row.file_name, "sha256": temperatures_digest(connection, row),
        },
    }  # fmt: skip


def _stray_temperatures(connection: Connection) -> Iterator[str]:
    """Yield a line for each table with temperatures of a source of another kind."""
    for kind, table in (("daily", daily_temperatures), ("readings", temperature_readings)):
        strays = connection.execute(
            select(func.count())
            .select_from(table.join(temperature_sources))
            .where(temperature_sources.c.kind != kind)
        ).scalar_one()
        if strays:
            yield f"{table.name} has {strays} rows that no entry tells of"


def _number_said(said: Said) -> tuple[object, Said]:
    data = said["data"]
    values = {
        "name": data["name"], "value": data["value"], "reason": data["reason"],
        "by": said["recorded_by"], "at": said["recorded_at"],
    }  # fmt: skip
    return data["crop"], values


def _number(row: Row[Any]) -> tuple[object, Said]:
    values = {
        "name": row.name, "value": repr(float(row.value)), "reason": row.reason,
        "by": row.changed_by, "at": moment_text(row.changed_at),
    }  # fmt: skip
    return row.crop, values
