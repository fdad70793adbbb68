"""Whether the tables of plans, sessions, checks and temperatures say what the entries say."""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING, Any

from sqlalchemy import func, select

from spikecheck.store.season_tables import (
    entries,
    parents,
    season_changes,
    session_people,
    sessions,
    temperature_sources,
)  # fmt: skip
from spikecheck.store.tables import check_photos, checks, crosses, overrides
from spikecheck.store.temperatures import temperatures_digest

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from sqlalchemy import Connection, Row, Table

_AT_ONCE = 2000
_Said = dict[str, Any]


def table_faults(connection: Connection) -> Iterator[str]:
    """Yield a line for each row that an entry contradicts, and for rows without an entry."""
    for kind, table, said_of, kept in (
        ("session_opened", sessions, "data", _session),
        ("temperatures_recorded", temperature_sources, "data", _temperatures),
        ("checked", checks, "step", _check),
    ):
        yield from _faults(connection, kind, table, said_of, kept)
    yield from _count_faults(connection, "cross_planned", crosses)
    yield from _changed_faults(connection, "cross", crosses, "cross", _cross_row)
    yield from _changed_faults(connection, "parent", parents, "name", _parent_row)
    yield from _count_faults(connection, "overridden", overrides)
    yield from _count_faults(connection, "number_changed", season_changes)


def _faults(
    connection: Connection,
    kind: str,
    table: Table,
    said_of: str,
    kept: Callable[[Connection, _Said], _Said | None],
) -> Iterator[str]:
    query = select(entries.c.number, entries.c.body).where(entries.c.kind == kind)
    for row in connection.execution_options(yield_per=_AT_ONCE).execute(query):
        said = json.loads(row.body)[said_of]
        if kept(connection, said) != said:
            yield f"what entry {row.number} says ({kind.replace('_', ' ')}) is kept otherwise"
    yield from _count_faults(connection, kind, table)


def _count_faults(connection: Connection, kind: str, table: Table) -> Iterator[str]:
    rows = connection.execute(select(func.count()).select_from(table)).scalar_one()
    said = connection.execute(
        select(func.count()).select_from(entries).where(entries.c.kind == kind)
    ).scalar_one()
    if rows != said:
        yield f"{table.name} has {rows} rows, the history tells of {said}"


def _session(connection: Connection, said: _Said) -> _Said | None:
    row = connection.execute(
        select(sessions).where(sessions.c.id == said.get("session"))
    ).one_or_none()
    if row is None:
        return None
    people = connection.execute(
        select(session_people.c.name)
        .where(session_people.c.session_id == row.id)
        .order_by(session_people.c.position)
    ).scalars()
    return {
        "session": row.id, "day": row.day.isoformat(), "place": row.place,
        "people": list(people), "note": row.note,
    }  # fmt: skip


def _temperatures(connection: Connection, said: _Said) -> _Said | None:
    row = connection.execute(
        select(temperature_sources).where(temperature_sources.c.id == said.get("source"))
    ).one_or_none()
    if row is None:
        return None
    return {
        "source": row.id, "place": row.place, "kind": row.kind, "zone": row.zone,
        "file_name": row.file_name, "sha256": temperatures_digest(connection, row),
    }  # fmt: skip


def _check(connection: Connection, said: _Said) -> _Said | None:
    detail = said["detail"]
    row = connection.execute(select(checks).where(checks.c.id == detail.get("check"))).one_or_none()
    if row is None:
        return None
    kept = connection.execute(
        select(check_photos)
        .where(check_photos.c.check_id == row.id)
        .order_by(check_photos.c.position)
    ).all()
    return {
        **said,
        "by": row.checked_by,
        "detail": {
            **detail,
            "verdict": row.verdict,
            "result_sha256": hashlib.sha256(row.result.encode()).hexdigest(),
            "photos": [photo.sha256 for photo in kept],
            "overlays": [photo.overlay_sha256 for photo in kept],
        },
    }


def _changed_faults(
    connection: Connection, what: str, table: Table, key: str, kept: Callable[[Row[Any]], _Said]
) -> Iterator[str]:
    """Compare rows that may be changed with the sum of what the entries say of each.

    The entries of a season's plan are read in order, what they say is kept by name: it takes memory
    as the table itself would.
    """
    said: dict[str, _Said] = {}
    kinds = ("cross_planned", "cross_changed", "parent_recorded", "parent_changed")
    query = (
        select(entries.c.body)
        .where(entries.c.kind.in_([kind for kind in kinds if kind.startswith(what)]))
        .order_by(entries.c.number)
    )
    for body in connection.execution_options(yield_per=_AT_ONCE).execute(query).scalars():
        data = json.loads(body)["data"]
        data.pop("reason", None)
        said.setdefault(data[key], {}).update(data)
    for row in connection.execution_options(yield_per=_AT_ONCE).execute(select(table)):
        found = kept(row)
        if said.pop(found[key], None) != found:
            yield f"{what} {found[key]} is not kept as the history says"
    for name in said:
        yield f"{what} {name} is told of by the history and is not there"


def _cross_row(row: Row[Any]) -> _Said:
    return {
        "cross": row.id, "female": row.female, "male": row.male, "note": row.note,
        "purpose": row.purpose, "seeds_wanted": row.seeds_wanted, "crop": row.crop,
        "project": row.project,
    }  # fmt: skip


def _parent_row(row: Row[Any]) -> _Said:
    return {
        "name": row.name, "accession": row.accession, "pedigree": row.pedigree,
        "place": row.place,
    }  # fmt: skip
