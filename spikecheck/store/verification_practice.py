"""Whether the tables of practice say what the entries say."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from spikecheck.history.step_json import moment_text
from spikecheck.store.practice_tables import (
    practice_answers,
    practice_decisions,
    practice_photos,
    practice_sessions,
    practice_views,
)
from spikecheck.store.verification_rows import Said, entry_faults

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sqlalchemy import Connection, Row, Table


def practice_faults(connection: Connection) -> Iterator[str]:
    """Yield a line for each row that an entry contradicts, and for rows without an entry."""
    yield from entry_faults(connection, "practice_begun", practice_sessions, _session)
    yield from entry_faults(connection, "practice_shown", practice_views, _view)
    yield from entry_faults(connection, "practice_answered", practice_answers, _answer)
    yield from entry_faults(connection, "practice_decided", practice_decisions, _decision)


def _session(connection: Connection, said: Said) -> Said | None:
    number = said["data"]["session"]
    row = _one(connection, practice_sessions, id=number)
    photos = connection.execute(
        select(practice_photos)
        .where(practice_photos.c.session_id == number)
        .order_by(practice_photos.c.position)
    ).all()
    if row is None or [one.position for one in photos] != list(range(len(photos))):
        return None
    return {
        "recorded_by": row.person,
        "data": {
            "session": row.id, "seed": row.seed, "numbers": row.numbers,
            "at": moment_text(row.begun_at),
            "photos": [[one.photo, one.source, one.truth] for one in photos],
        },
    }  # fmt: skip


def _view(connection: Connection, said: Said) -> Said | None:
    row = _one(connection, practice_views, id=said["data"]["view"])
    if row is None:
        return None
    return {
        "data": {
            "view": row.id, "session": row.session_id, "position": row.position,
            "at": moment_text(row.shown_at),
        }
    }  # fmt: skip


def _answer(connection: Connection, said: Said) -> Said | None:
    row = _of_photo(connection, practice_answers, said)
    if row is None:
        return None
    return {
        "data": {
            "session": row.session_id, "position": row.position, "verdict": row.verdict,
            "marks": row.marks, "at": moment_text(row.answered_at),
        }
    }  # fmt: skip


def _decision(connection: Connection, said: Said) -> Said | None:
    row = _of_photo(connection, practice_decisions, said)
    if row is None:
        return None
    return {
        "data": {
            "session": row.session_id, "position": row.position, "decision": row.decision,
            "photos": row.photos, "misses": row.misses, "clean": row.clean,
            "false_alarms": row.false_alarms,
        }
    }  # fmt: skip


def _of_photo(connection: Connection, table: Table, said: Said) -> Row[Any] | None:
    data = said["data"]
    return _one(connection, table, session_id=data["session"], position=data["position"])


def _one(connection: Connection, table: Table, **key: object) -> Row[Any] | None:
    wanted = (table.c[name] == value for name, value in key.items())
    return connection.execute(select(table).where(*wanted)).one_or_none()
