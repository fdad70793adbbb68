"""The tables of crosses, spikes and checks as they stand at the newest revision.

Only the standard parts of SQL are used, so that the same tables live in any database. Nothing is
ever updated or deleted here: checks and overrides are history. The tables of the season stand in
:mod:`spikecheck.store.season_tables`.
"""

from __future__ import annotations

from sqlalchemy import (
    CheckConstraint,
    Column,
    ForeignKey,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

from spikecheck.store.moments import UtcDateTime
from spikecheck.vocabulary.cross import WHEAT
from spikecheck.vocabulary.text import LONGEST_FOLDED_ID, LONGEST_ID, LONGEST_NAME

LONGEST_CODE = 32
SHA256 = String(64)
VERDICT = String(16)

# Every constraint gets a name: a later revision can only change what it can name.
metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "pk": "pk_%(table_name)s",
    }
)

crosses = Table(
    "crosses",
    metadata,
    Column("id", String(LONGEST_ID), primary_key=True),
    Column("female", String(LONGEST_NAME), nullable=False),
    Column("male", String(LONGEST_NAME), nullable=False),
    Column("note", Text, nullable=False),
    Column("created_at", UtcDateTime, nullable=False),
    Column("purpose", Text, nullable=False, server_default=""),
    Column("seeds_wanted", Integer, nullable=True),
    Column("crop", String(32), nullable=False, server_default=WHEAT),
    Column("project", String(LONGEST_NAME), nullable=False, server_default=""),
    # Older records may hold two ids that are alike when folded, so it is not unique.
    Column("folded", String(LONGEST_FOLDED_ID), nullable=False, server_default="", index=True),
)

spikes = Table(
    "spikes",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("cross_id", ForeignKey(crosses.c.id), nullable=False),
    Column("number", Integer, nullable=False),
    UniqueConstraint("cross_id", "number"),
    CheckConstraint("number >= 1", name="number_from_one"),
)

checks = Table(
    "checks",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("spike_id", ForeignKey(spikes.c.id), nullable=False, index=True),
    Column("checked_by", String(LONGEST_NAME), nullable=False),
    Column("checked_at", UtcDateTime, nullable=False),
    Column("verdict", VERDICT, nullable=False),
    Column("result", Text, nullable=False),
    Column("model_name", Text, nullable=False),
    Column("model_version", Text, nullable=False),
    Column("model_sha256", SHA256, nullable=False),
    Column("thresholds_sha256", SHA256, nullable=False),
    Column("software_version", Text, nullable=False),
    CheckConstraint("verdict IN ('pass', 'review')", name="verdict_known"),
)

check_photos = Table(
    "check_photos",
    metadata,
    Column("check_id", ForeignKey(checks.c.id), primary_key=True),
    Column("position", Integer, primary_key=True, autoincrement=False),
    Column("file_name", Text, nullable=False),
    Column("sha256", SHA256, nullable=False, index=True),
    Column("overlay_sha256", SHA256, nullable=False),
)

overrides = Table(
    "overrides",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("check_id", ForeignKey(checks.c.id), nullable=False, index=True),
    Column("overridden_by", String(LONGEST_NAME), nullable=False),
    Column("overridden_at", UtcDateTime, nullable=False),
    Column("verdict", VERDICT, nullable=False),
    Column("reason", Text, nullable=False),
    CheckConstraint("verdict IN ('pass', 'review')", name="verdict_known"),
    CheckConstraint("reason <> ''", name="reason_given"),
)

_LARGEST_INTEGER = 2**31 - 1


def fits_integer(number: int) -> bool:
    """Say whether ``number`` counts from 1 and fits an integer column of every database."""
    return 1 <= number <= _LARGEST_INTEGER
