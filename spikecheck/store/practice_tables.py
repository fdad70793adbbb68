"""The tables of practice: sessions, their photos, when each was shown, answers, decisions.

Rows are added and never changed. What a photo shows is kept with the session it was drawn for, so
that answers can be scored when the photo is long gone or its marks were corrected.
"""

from __future__ import annotations

from sqlalchemy import (
    CheckConstraint,
    Column,
    ForeignKey,
    ForeignKeyConstraint,
    Integer,
    String,
    Table,
    Text,
)

from spikecheck.store.moments import UtcDateTime
from spikecheck.store.tables import SHA256, VERDICT, metadata
from spikecheck.vocabulary.text import LONGEST_NAME

_WORD = String(16)

practice_sessions = Table(
    "practice_sessions",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("person", String(LONGEST_NAME), nullable=False, index=True),
    Column("seed", Integer, nullable=False),
    Column("numbers", Text, nullable=False),
    Column("begun_at", UtcDateTime, nullable=False),
)

practice_photos = Table(
    "practice_photos",
    metadata,
    Column("session_id", ForeignKey(practice_sessions.c.id), primary_key=True),
    Column("position", Integer, primary_key=True, autoincrement=False),
    Column("photo", SHA256, nullable=False),
    Column("source", _WORD, nullable=False),
    Column("truth", Text, nullable=False),
    CheckConstraint("source IN ('rendered', 'reviewed')", name="source_known"),
)

practice_views = Table(
    "practice_views",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("session_id", Integer, nullable=False),
    Column("position", Integer, nullable=False),
    Column("shown_at", UtcDateTime, nullable=False),
    ForeignKeyConstraint(
        ["session_id", "position"], [practice_photos.c.session_id, practice_photos.c.position]
    ),
)

practice_answers = Table(
    "practice_answers",
    metadata,
    Column("session_id", Integer, primary_key=True, autoincrement=False),
    Column("position", Integer, primary_key=True, autoincrement=False),
    Column("verdict", VERDICT, nullable=False),
    Column("marks", Text, nullable=False),
    Column("answered_at", UtcDateTime, nullable=False),
    ForeignKeyConstraint(
        ["session_id", "position"], [practice_photos.c.session_id, practice_photos.c.position]
    ),
    CheckConstraint("verdict IN ('pass', 'review')", name="verdict_known"),
)

practice_decisions = Table(
    "practice_decisions",
    metadata,
    Column("session_id", Integer, primary_key=True, autoincrement=False),
    Column("position", Integer, primary_key=True, autoincrement=False),
    Column("decision", _WORD, nullable=False),
    Column("photos", Integer, nullable=False),
    Column("misses", Integer, nullable=False),
    Column("clean", Integer, nullable=False),
    Column("false_alarms", Integer, nullable=False),
    ForeignKeyConstraint(
        ["session_id", "position"], [practice_answers.c.session_id, practice_answers.c.position]
    ),
    CheckConstraint("decision IN ('signed off', 'more practice')", name="decision_known"),
)
