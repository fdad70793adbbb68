"""Parents, sessions, tags, the history with its chain, temperatures, changed numbers.

What was recorded before gets its entries in the order of time. The spelling of entries is spelt out
here as it was when this revision was released.
"""

import hashlib
import json
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

_TIME = sa.DateTime(timezone=True)
_SHA = sa.String(64)
_NAME = sa.String(200)
_ID = sa.String(64)
_WORD = sa.String(32)
_CODE = sa.String(32)
_VERDICT = sa.String(16)

_Body = dict[str, Any]
_Tables = Mapping[str, sa.Table]
# Moment, rank among what happened then, key, row of the spike, kind of entry, moment of writing,
# what it says.
_Event = tuple[datetime, int, str, int | None, str, datetime, _Body]


def upgrade() -> None:
    """Make the tables and write the history of what is there."""
    op.add_column("crosses", sa.Column("purpose", sa.Text, nullable=False, server_default=""))
    op.add_column("crosses", sa.Column("seeds_wanted", sa.Integer, nullable=True))
    op.add_column("crosses", sa.Column("crop", _WORD, nullable=False, server_default="wheat"))
    op.add_column("crosses", sa.Column("project", _NAME, nullable=False, server_default=""))
    _make_plan_tables()
    _make_history_tables()
    _make_temperature_tables()
    if not op.get_context().as_sql:
        _write_history(op.get_bind())


def downgrade() -> None:
    """Take the tables away; what only the history knows is lost."""
    for name in (
        "season_changes", "temperature_readings", "daily_temperatures", "temperature_sources",
        "spike_states", "chain_head", "entries", "tags", "session_people", "sessions", "parents",
    ):  # fmt: skip
        op.drop_table(name)
    for name in ("project", "crop", "seeds_wanted", "purpose"):
        op.drop_column("crosses", name)


def _make_plan_tables() -> None:
    op.create_table(
        "parents",
        sa.Column("name", _NAME, nullable=False),
        sa.Column("accession", _NAME, nullable=False),
        sa.Column("pedigree", sa.Text, nullable=False),
        sa.Column("place", _NAME, nullable=False),
        sa.Column("created_at", _TIME, nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_parents"),
    )
    op.create_table(
        "sessions",
        sa.Column("id", _ID, nullable=False),
        sa.Column("day", sa.Date, nullable=False),
        sa.Column("place", _NAME, nullable=False),
        sa.Column("note", sa.Text, nullable=False),
        sa.Column("created_at", _TIME, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_sessions"),
    )
    op.create_table(
        "session_people",
        sa.Column("session_id", _ID, nullable=False),
        sa.Column("position", sa.Integer, nullable=False, autoincrement=False),
        sa.Column("name", _NAME, nullable=False),
        sa.PrimaryKeyConstraint("session_id", "position", name="pk_session_people"),
        sa.ForeignKeyConstraint(
            ["session_id"], ["sessions.id"], name="fk_session_people_session_id"
        ),
    )


def _make_history_tables() -> None:
    op.create_table(
        "tags",
        sa.Column("code", _CODE, nullable=False),
        sa.Column("spike_id", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("code", name="pk_tags"),
        sa.ForeignKeyConstraint(["spike_id"], ["spikes.id"], name="fk_tags_spike_id"),
    )
    op.create_index("ix_tags_spike_id", "tags", ["spike_id"])
    op.create_table(
        "entries",
        sa.Column("number", sa.Integer, nullable=False, autoincrement=False),
        sa.Column("kind", _WORD, nullable=False),
        sa.Column("spike_id", sa.Integer, nullable=True),
        sa.Column("corrects", sa.Integer, nullable=True),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("previous_hash", _SHA, nullable=False),
        sa.Column("hash", _SHA, nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_entries"),
        sa.ForeignKeyConstraint(["spike_id"], ["spikes.id"], name="fk_entries_spike_id"),
        sa.ForeignKeyConstraint(["corrects"], ["entries.number"], name="fk_entries_corrects"),
        sa.UniqueConstraint("corrects", name="uq_entries_corrects"),
    )
    op.create_index("ix_entries_spike_id_number", "entries", ["spike_id", "number"])
    op.create_table(
        "chain_head",
        sa.Column("id", sa.Integer, nullable=False, autoincrement=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("hash", _SHA, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_chain_head"),
        sa.CheckConstraint("id = 1", name=op.f("ck_chain_head_one_row")),
    )
    op.create_table(
        "spike_states",
        sa.Column("spike_id", sa.Integer, nullable=False, autoincrement=False),
        sa.Column("is_open", sa.Boolean, nullable=False),
        sa.Column("session_id", _ID, nullable=True),
        sa.Column("tag", _CODE, nullable=True),
        sa.Column("control", sa.Boolean, nullable=False),
        sa.Column("selected_at", _TIME, nullable=True),
        sa.Column("growth_stage", sa.Integer, nullable=True),
        sa.Column("emasculated_at", _TIME, nullable=True),
        sa.Column("emasculated_by", _NAME, nullable=False),
        sa.Column("method", _NAME, nullable=False),
        sa.Column("florets", sa.Integer, nullable=True),
        sa.Column("anthers", sa.Integer, nullable=True),
        sa.Column("check_id", sa.Integer, nullable=True),
        sa.Column("checked_at", _TIME, nullable=True),
        sa.Column("checked_by", _NAME, nullable=False),
        sa.Column("verdict", _VERDICT, nullable=True),
        sa.Column("computed_verdict", _VERDICT, nullable=True),
        sa.Column("overridden", sa.Boolean, nullable=False),
        sa.Column("near_anthesis", sa.Boolean, nullable=False),
        sa.Column("bagged_at", _TIME, nullable=True),
        sa.Column("pollinated_at", _TIME, nullable=True),
        sa.Column("pollinated_by", _NAME, nullable=False),
        sa.Column("pollinated_male", _NAME, nullable=False),
        sa.Column("pollen_at", _TIME, nullable=True),
        sa.Column("rebagged_at", _TIME, nullable=True),
        sa.Column("harvested_at", _TIME, nullable=True),
        sa.Column("threshed_at", _TIME, nullable=True),
        sa.Column("seeds", sa.Integer, nullable=True),
        sa.Column("seed_florets", sa.Integer, nullable=True),
        sa.Column("thirds", sa.Text, nullable=True),
        sa.Column("tested", sa.Integer, nullable=True),
        sa.Column("selfed", sa.Integer, nullable=True),
        sa.Column("given_up_at", _TIME, nullable=True),
        sa.Column("given_up_reason", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("spike_id", name="pk_spike_states"),
        sa.ForeignKeyConstraint(["spike_id"], ["spikes.id"], name="fk_spike_states_spike_id"),
        sa.ForeignKeyConstraint(["session_id"], ["sessions.id"], name="fk_spike_states_session_id"),
    )
    op.create_index("ix_spike_states_is_open", "spike_states", ["is_open"])
    op.create_index("ix_spike_states_session_id", "spike_states", ["session_id"])


def _make_temperature_tables() -> None:
    op.create_table(
        "temperature_sources",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("place", _NAME, nullable=False),
        sa.Column("kind", _WORD, nullable=False),
        sa.Column("zone", sa.String(64), nullable=False),
        sa.Column("file_name", sa.Text, nullable=False),
        sa.Column("air_c", sa.Float, nullable=True),
        sa.Column("start_at", _TIME, nullable=True),
        sa.Column("end_at", _TIME, nullable=True),
        sa.Column("recorded_by", _NAME, nullable=False),
        sa.Column("recorded_at", _TIME, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_temperature_sources"),
        sa.CheckConstraint(
            "kind IN ('daily', 'readings', 'constant')",
            name=op.f("ck_temperature_sources_kind_known"),
        ),
    )
    op.create_index("ix_temperature_sources_place", "temperature_sources", ["place"])
    op.create_table(
        "daily_temperatures",
        sa.Column("source_id", sa.Integer, nullable=False),
        sa.Column("day", sa.Date, nullable=False),
        sa.Column("min_c", sa.Float, nullable=False),
        sa.Column("max_c", sa.Float, nullable=False),
        sa.PrimaryKeyConstraint("source_id", "day", name="pk_daily_temperatures"),
        sa.ForeignKeyConstraint(
            ["source_id"], ["temperature_sources.id"], name="fk_daily_temperatures_source_id"
        ),
    )
    op.create_table(
        "temperature_readings",
        sa.Column("source_id", sa.Integer, nullable=False),
        sa.Column("moment", _TIME, nullable=False),
        sa.Column("air_c", sa.Float, nullable=False),
        sa.PrimaryKeyConstraint("source_id", "moment", name="pk_temperature_readings"),
        sa.ForeignKeyConstraint(
            ["source_id"], ["temperature_sources.id"], name="fk_temperature_readings_source_id"
        ),
    )
    op.create_table(
        "season_changes",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("crop", _WORD, nullable=False),
        sa.Column("name", sa.String(64), nullable=False),
        sa.Column("value", sa.Float, nullable=False),
        sa.Column("reason", sa.Text, nullable=False),
        sa.Column("changed_by", _NAME, nullable=False),
        sa.Column("changed_at", _TIME, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_season_changes"),
    )
    op.create_index("ix_season_changes_crop", "season_changes", ["crop"])


def _write_history(connection: sa.Connection) -> None:
    tables = sa.MetaData()
    tables.reflect(
        connection,
        only=[
            "crosses", "parents", "spikes", "checks", "check_photos", "overrides", "entries",
            "chain_head", "spike_states",
        ],
    )  # fmt: skip
    table = tables.tables
    chain = _Chain(connection, table["entries"])
    checked = _check_moments(connection, table)
    events: list[_Event] = [
        *_crosses(connection, table),
        *_checks(connection, table, checked),
        *_overrides(connection, table, checked),
    ]
    known: set[str] = set()
    for _, _, _, spike_id, kind, moment, data in sorted(events, key=lambda one: one[:3]):
        if kind == "cross_planned":
            for name in (data["data"]["female"], data["data"]["male"]):
                if name not in known:
                    known.add(name)
                    connection.execute(
                        table["parents"].insert().values(
                            name=name, accession="", pedigree="", place="", created_at=moment
                        )
                    )  # fmt: skip
                    line = {"name": name, "accession": "", "pedigree": "", "place": ""}
                    chain.add("parent_recorded", {"data": line, "recorded_by": ""}, moment)
        chain.add(kind, data, moment, spike_id=spike_id)
    connection.execute(
        table["chain_head"].insert().values(id=1, number=chain.number, hash=chain.hash)
    )
    _write_states(connection, table, checked)


class _Chain:
    def __init__(self, connection: sa.Connection, entries: sa.Table) -> None:
        self._connection = connection
        self._entries = entries
        self.number = 0
        self.hash = "0" * 64

    def add(
        self, kind: str, data: _Body, moment: datetime, *, spike_id: int | None = None
    ) -> None:  # fmt: skip
        self.number += 1
        body = {"number": self.number, "kind": kind, "recorded_at": _text(moment), **data}
        text = _spelled(body)
        hashed = hashlib.sha256(f"{self.hash}\n{text}".encode()).hexdigest()
        self._connection.execute(
            self._entries.insert().values(
                number=self.number, kind=kind, spike_id=spike_id, body=text,
                previous_hash=self.hash, hash=hashed,
            )
        )  # fmt: skip
        self.hash = hashed


def _crosses(connection: sa.Connection, table: _Tables) -> list[_Event]:
    found: list[_Event] = []
    for row in connection.execute(table["crosses"].select()):
        data = {
            "cross": row.id, "female": row.female, "male": row.male, "note": row.note,
            "purpose": "", "seeds_wanted": None, "crop": "wheat", "project": "",
        }  # fmt: skip
        entry = {"data": data, "recorded_by": ""}
        at = _utc(row.created_at)
        found.append((at, 0, row.id, None, "cross_planned", at, entry))
    return found


def _check_moments(connection: sa.Connection, table: _Tables) -> dict[int, datetime]:
    """Return the moment of each check, by its number.

    The order of writing held so far; where a clock was set back between two checks of a spike,
    the later one gets the moment of the earlier one, so that it holds in the order of time, too.
    """
    checks = table["checks"]
    last: dict[int, datetime] = {}
    found: dict[int, datetime] = {}
    query = sa.select(checks.c.id, checks.c.spike_id, checks.c.checked_at).order_by(checks.c.id)
    for row in connection.execute(query):
        at = _utc(row.checked_at)
        found[row.id] = last[row.spike_id] = max(at, last.get(row.spike_id, at))
    return found


def _checks(
    connection: sa.Connection, table: _Tables, checked: Mapping[int, datetime]
) -> list[_Event]:
    checks, spikes, photos = table["checks"], table["spikes"], table["check_photos"]
    found: list[_Event] = []
    query = sa.select(checks, spikes.c.cross_id, spikes.c.number.label("spike")).join_from(
        checks, spikes, checks.c.spike_id == spikes.c.id
    )
    for row in connection.execute(query):
        kept = connection.execute(
            photos.select().where(photos.c.check_id == row.id).order_by(photos.c.position)
        ).all()
        detail = {
            "check": row.id, "verdict": row.verdict, "near_anthesis": False,
            "result_sha256": hashlib.sha256(row.result.encode()).hexdigest(),
            "photos": [photo.sha256 for photo in kept],
            "overlays": [photo.overlay_sha256 for photo in kept],
            "filed_sha256": _filed(row, kept),
        }  # fmt: skip
        at = checked[row.id]
        entry = _spike_entry(row.cross_id, row.spike, detail, at, row.checked_by)
        written = _utc(row.checked_at)
        found.append((at, 1, f"{row.id:012d}", row.spike_id, "checked", written, entry))
    return found


def _filed(check: sa.Row[Any], photos: Sequence[sa.Row[Any]]) -> str:
    text = _spelled(
        {
            "model": {
                "name": check.model_name, "version": check.model_version,
                "sha256": check.model_sha256,
            },
            "thresholds_sha256": check.thresholds_sha256,
            "software_version": check.software_version,
            "files": [photo.file_name for photo in photos],
        }
    )  # fmt: skip
    return hashlib.sha256(text.encode()).hexdigest()


def _overrides(
    connection: sa.Connection, table: _Tables, checked: Mapping[int, datetime]
) -> list[_Event]:
    last = dict(checked)
    checks, spikes, overrides = table["checks"], table["spikes"], table["overrides"]
    query = (
        sa.select(overrides, checks.c.spike_id, spikes.c.cross_id, spikes.c.number.label("spike"))
        .join_from(overrides, checks, overrides.c.check_id == checks.c.id)
        .join(spikes, checks.c.spike_id == spikes.c.id)
        .order_by(overrides.c.id)
    )
    found: list[_Event] = []
    for row in connection.execute(query):
        detail = {"check": row.check_id, "verdict": row.verdict, "reason": row.reason}
        written = _utc(row.overridden_at)
        at = last[row.check_id] = max(written, last[row.check_id])
        entry = _spike_entry(row.cross_id, row.spike, detail, at, row.overridden_by)
        found.append((at, 2, f"{row.id:012d}", row.spike_id, "overridden", written, entry))
    return found


def _spike_entry(cross: str, spike: int, detail: _Body, at: datetime, by: str) -> _Body:
    step = {"detail": detail, "at": _text(at), "by": by, "session": "", "note": ""}
    return {
        "cross": cross, "spike": spike, "step": step, "corrects": None, "reason": "",
        "recorded_by": by,
    }  # fmt: skip


def _write_states(
    connection: sa.Connection, table: _Tables, checked: Mapping[int, datetime]
) -> None:
    checks, overrides = table["checks"], table["overrides"]
    latest = sa.select(sa.func.max(checks.c.id)).group_by(checks.c.spike_id)
    for row in connection.execute(checks.select().where(checks.c.id.in_(latest))).all():
        word = connection.execute(
            overrides.select()
            .where(overrides.c.check_id == row.id)
            .order_by(overrides.c.id.desc())
            .limit(1)
        ).first()
        connection.execute(
            table["spike_states"].insert().values(
                spike_id=row.spike_id, is_open=True, control=False, emasculated_by="", method="",
                check_id=row.id, checked_at=checked[row.id], checked_by=row.checked_by,
                verdict=word.verdict if word else row.verdict, computed_verdict=row.verdict,
                overridden=word is not None, near_anthesis=False, pollinated_by="",
                pollinated_male="", given_up_reason="",
            )
        )  # fmt: skip


def _spelled(body: _Body) -> str:
    return json.dumps(body, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def _utc(moment: datetime) -> datetime:
    return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment.astimezone(UTC)


def _text(moment: datetime) -> str:
    return _utc(moment).isoformat()
