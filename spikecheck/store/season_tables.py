"""The tables of the season: parents, sessions, the history with its chain, what it adds up to.

``entries`` only grows; a database user who may write could change it, and the chain of hashes
shows that. ``spike_states``, ``tags`` and ``chain_head`` repeat what the entries say, so that a
page needs no replay of a season; they are written in the same transaction and compared with the
entries when the store is verified.
"""

from __future__ import annotations

from sqlalchemy import (
    Boolean,
    CheckConstraint,
    Column,
    Date,
    Float,
    ForeignKey,
    Index,
    Integer,
    String,
    Table,
    Text,
)

from spikecheck.store.moments import UtcDateTime
from spikecheck.store.tables import LONGEST_CODE, SHA256, VERDICT, metadata, spikes
from spikecheck.vocabulary.text import LONGEST_ID, LONGEST_NAME

_WORD = String(32)

# Crosses name their parents; no foreign key holds them, since SQLite cannot add one to a table
# that others point at. Both are written in one transaction and never deleted.
parents = Table(
    "parents",
    metadata,
    Column("name", String(LONGEST_NAME), primary_key=True),
    Column("accession", String(LONGEST_NAME), nullable=False),
    Column("pedigree", Text, nullable=False),
    Column("place", String(LONGEST_NAME), nullable=False),
    Column("created_at", UtcDateTime, nullable=False),
)

sessions = Table(
    "sessions",
    metadata,
    Column("id", String(LONGEST_ID), primary_key=True),
    Column("day", Date, nullable=False),
    Column("place", String(LONGEST_NAME), nullable=False),
    Column("note", Text, nullable=False),
    Column("created_at", UtcDateTime, nullable=False),
)

session_people = Table(
    "session_people",
    metadata,
    Column("session_id", ForeignKey(sessions.c.id), primary_key=True),
    Column("position", Integer, primary_key=True, autoincrement=False),
    Column("name", String(LONGEST_NAME), nullable=False),
)

tags = Table(
    "tags",
    metadata,
    Column("code", String(LONGEST_CODE), primary_key=True),
    Column("spike_id", ForeignKey(spikes.c.id), nullable=False, index=True),
)

entries = Table(
    "entries",
    metadata,
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("kind", _WORD, nullable=False),
    Column("spike_id", ForeignKey(spikes.c.id), nullable=True),
    # Unique: two people cannot both correct the same entry.
    Column("corrects", ForeignKey("entries.number"), nullable=True, unique=True),
    Column("body", Text, nullable=False),
    Column("previous_hash", SHA256, nullable=False),
    Column("hash", SHA256, nullable=False),
    Index("ix_entries_spike_id_number", "spike_id", "number"),
)

chain_head = Table(
    "chain_head",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=False),
    Column("number", Integer, nullable=False),
    Column("hash", SHA256, nullable=False),
    CheckConstraint("id = 1", name="one_row"),
)

spike_states = Table(
    "spike_states",
    metadata,
    Column("spike_id", ForeignKey(spikes.c.id), primary_key=True, autoincrement=False),
    # Whether anything is still to be done; what the agenda looks at.
    Column("is_open", Boolean, nullable=False, index=True),
    Column("session_id", ForeignKey(sessions.c.id), nullable=True, index=True),
    Column("tag", String(LONGEST_CODE), nullable=True),
    Column("control", Boolean, nullable=False),
    Column("selected_at", UtcDateTime, nullable=True),
    Column("growth_stage", Integer, nullable=True),
    Column("emasculated_at", UtcDateTime, nullable=True),
    Column("emasculated_by", String(LONGEST_NAME), nullable=False),
    Column("method", String(LONGEST_NAME), nullable=False),
    Column("florets", Integer, nullable=True),
    Column("anthers", Integer, nullable=True),
    Column("check_id", Integer, nullable=True),
    Column("checked_at", UtcDateTime, nullable=True),
    Column("checked_by", String(LONGEST_NAME), nullable=False),
    Column("verdict", VERDICT, nullable=True),
    Column("computed_verdict", VERDICT, nullable=True),
    Column("overridden", Boolean, nullable=False),
    Column("near_anthesis", Boolean, nullable=False),
    Column("bagged_at", UtcDateTime, nullable=True),
    Column("pollinated_at", UtcDateTime, nullable=True),
    Column("pollinated_by", String(LONGEST_NAME), nullable=False),
    Column("pollinated_male", String(LONGEST_NAME), nullable=False),
    Column("pollen_at", UtcDateTime, nullable=True),
    Column("rebagged_at", UtcDateTime, nullable=True),
    Column("harvested_at", UtcDateTime, nullable=True),
    Column("threshed_at", UtcDateTime, nullable=True),
    Column("seeds", Integer, nullable=True),
    Column("seed_florets", Integer, nullable=True),
    Column("thirds", Text, nullable=True),
    Column("tested", Integer, nullable=True),
    Column("selfed", Integer, nullable=True),
    Column("given_up_at", UtcDateTime, nullable=True),
    Column("given_up_reason", Text, nullable=False),
    Column("overridden_by", String(LONGEST_NAME), nullable=False, server_default=""),
    # The latest audit as JSON; rules and pages want all of it or nothing.
    Column("audit", Text, nullable=True),
)

temperature_sources = Table(
    "temperature_sources",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("place", String(LONGEST_NAME), nullable=False, index=True),
    Column("kind", _WORD, nullable=False),
    Column("zone", String(64), nullable=False),
    Column("file_name", Text, nullable=False),
    Column("air_c", Float, nullable=True),
    Column("start_at", UtcDateTime, nullable=True),
    Column("end_at", UtcDateTime, nullable=True),
    Column("recorded_by", String(LONGEST_NAME), nullable=False),
    Column("recorded_at", UtcDateTime, nullable=False),
    CheckConstraint("kind IN ('daily', 'readings', 'constant')", name="kind_known"),
)

daily_temperatures = Table(
    "daily_temperatures",
    metadata,
    Column("source_id", ForeignKey(temperature_sources.c.id), primary_key=True),
    Column("day", Date, primary_key=True),
    Column("min_c", Float, nullable=False),
    Column("max_c", Float, nullable=False),
)

temperature_readings = Table(
    "temperature_readings",
    metadata,
    Column("source_id", ForeignKey(temperature_sources.c.id), primary_key=True),
    Column("moment", UtcDateTime, primary_key=True),
    Column("air_c", Float, nullable=False),
)

season_changes = Table(
    "season_changes",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("crop", _WORD, nullable=False, index=True),
    Column("name", String(64), nullable=False),
    Column("value", Float, nullable=False),
    Column("reason", Text, nullable=False),
    Column("changed_by", String(LONGEST_NAME), nullable=False),
    Column("changed_at", UtcDateTime, nullable=False),
)
