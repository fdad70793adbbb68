"""What each spike's history adds up to, kept beside it so that no page replays a season."""

from __future__ import annotations

import dataclasses
import json
from typing import TYPE_CHECKING, Any

from sqlalchemy import insert, select, update

from spikecheck.store.audit_text import audit_text, read_audit
from spikecheck.store.season_tables import sessions, spike_states
from spikecheck.store.tables import crosses, spikes
from spikecheck.vocabulary.spike_record import SpikeRecord
from spikecheck.vocabulary.steps import ThirdCount
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from sqlalchemy import ColumnElement, Connection, Row, Select

_FIELDS = tuple(field.name for field in dataclasses.fields(SpikeRecord))
# Kept with cross and session, or under another name; everything else has a column of its name.
_ELSEWHERE = frozenset({"cross", "spike", "crop", "female", "male", "session", "place", "check"})
_AS_TEXT = frozenset({"thirds", "verdict", "computed_verdict", "audit"})
_SAME = tuple(name for name in _FIELDS if name not in _ELSEWHERE | _AS_TEXT)
_READ_AT_ONCE = 2000


def write_state(connection: Connection, spike_id: int, record: SpikeRecord) -> None:
    """Set what is kept of the spike in row ``spike_id`` to ``record``."""
    values = state_values(record)
    changed = connection.execute(
        update(spike_states).where(spike_states.c.spike_id == spike_id).values(**values)
    )
    if changed.rowcount == 0:
        connection.execute(insert(spike_states).values(spike_id=spike_id, **values))


def state_values(record: SpikeRecord) -> dict[str, Any]:
    """Return the columns of ``record``."""
    values = {name: getattr(record, name) for name in _SAME}
    values["check_id"] = record.check
    values["session_id"] = record.session or None
    values["verdict"] = None if record.verdict is None else record.verdict.value
    computed = record.computed_verdict
    values["computed_verdict"] = None if computed is None else computed.value
    values["thirds"] = _thirds_text(record)
    values["audit"] = None if record.audit is None else audit_text(record.audit)
    values["is_open"] = record.threshed_at is None and record.given_up_at is None
    return values


def select_state(connection: Connection, spike_id: int) -> dict[str, Any] | None:
    """Return the columns kept of the spike in row ``spike_id``, or None where there are none."""
    query = select(spike_states).where(spike_states.c.spike_id == spike_id)
    row = connection.execute(query).mappings().one_or_none()
    return None if row is None else dict(row)


def select_records(
    connection: Connection, condition: ColumnElement[bool] | None = None
) -> Iterator[SpikeRecord]:
    """Yield spikes in the order of cross and number, a part of them in memory at a time."""
    query = _query().order_by(spikes.c.cross_id, spikes.c.number)
    if condition is not None:
        query = query.where(condition)
    rows = connection.execution_options(yield_per=_READ_AT_ONCE).execute(query)
    for row in rows:
        yield _record(row)


def select_record(connection: Connection, spike_id: int) -> SpikeRecord | None:
    """Return the spike in row ``spike_id``, or None if nothing happened to it yet."""
    row = connection.execute(_query().where(spike_states.c.spike_id == spike_id)).one_or_none()
    return None if row is None else _record(row)


def _query() -> Select[Any]:
    """Return the query whose columns are the fields of a record, in their order."""
    elsewhere = {
        "cross": spikes.c.cross_id, "spike": spikes.c.number, "crop": crosses.c.crop,
        "female": crosses.c.female, "male": crosses.c.male, "place": sessions.c.place,
        "session": spike_states.c.session_id, "check": spike_states.c.check_id,
    }  # fmt: skip
    columns = [elsewhere[name] if name in elsewhere else spike_states.c[name] for name in _FIELDS]
    return (
        select(*columns)
        .join_from(spike_states, spikes, spikes.c.id == spike_states.c.spike_id)
        .join(crosses, crosses.c.id == spikes.c.cross_id)
        .outerjoin(sessions, sessions.c.id == spike_states.c.session_id)
    )


def _record(row: Row[Any]) -> SpikeRecord:
    # By place, not by name: an agenda reads thousands of them while somebody waits.
    values = list(row)
    for place, convert in _CONVERTED:
        values[place] = convert(values[place])
    return SpikeRecord(*values)


def _thirds_text(record: SpikeRecord) -> str | None:
    if record.thirds is None:
        return None
    return json.dumps([[third.seeds, third.florets] for third in record.thirds])


def _thirds(text: str | None) -> tuple[ThirdCount, ThirdCount, ThirdCount] | None:
    if text is None:
        return None
    basal, central, apical = (ThirdCount(*pair) for pair in json.loads(text))
    return basal, central, apical


def _verdict(text: str | None) -> Verdict | None:
    return None if text is None else Verdict(text)


_CONVERTED: tuple[tuple[int, Callable[[Any], Any]], ...] = (
    (_FIELDS.index("session"), lambda text: text or ""),
    (_FIELDS.index("place"), lambda text: text or ""),
    (_FIELDS.index("verdict"), _verdict),
    (_FIELDS.index("computed_verdict"), _verdict),
    (_FIELDS.index("thirds"), _thirds),
    (_FIELDS.index("audit"), lambda text: None if text is None else read_audit(text)),
)
