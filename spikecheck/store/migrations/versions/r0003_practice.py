"""Practice: sessions, their photos, when each was shown, answers, decisions."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

_TIME = sa.DateTime(timezone=True)
_SHA = sa.String(64)
_NAME = sa.String(200)
_WORD = sa.String(16)
_PHOTO = ["practice_photos.session_id", "practice_photos.position"]
_ANSWER = ["practice_answers.session_id", "practice_answers.position"]


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "practice_sessions",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("person", _NAME, nullable=False),
        sa.Column("seed", sa.Integer, nullable=False),
        sa.Column("numbers", sa.Text, nullable=False),
        sa.Column("begun_at", _TIME, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_practice_sessions"),
    )
    op.create_index("ix_practice_sessions_person", "practice_sessions", ["person"])
    op.create_table(
        "practice_photos",
        *_place(),
        sa.Column("photo", _SHA, nullable=False),
        sa.Column("source", _WORD, nullable=False),
        sa.Column("truth", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("session_id", "position", name="pk_practice_photos"),
        sa.ForeignKeyConstraint(
            ["session_id"], ["practice_sessions.id"], name="fk_practice_photos_session_id"
        ),
        sa.CheckConstraint(
            "source IN ('rendered', 'reviewed')", name=op.f("ck_practice_photos_source_known")
        ),
    )
    op.create_table(
        "practice_views",
        sa.Column("id", sa.Integer, nullable=False),
        *_place(),
        sa.Column("shown_at", _TIME, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_practice_views"),
        _of("practice_views", _PHOTO),
    )
    op.create_table(
        "practice_answers",
        *_place(),
        sa.Column("verdict", _WORD, nullable=False),
        sa.Column("marks", sa.Text, nullable=False),
        sa.Column("answered_at", _TIME, nullable=False),
        sa.PrimaryKeyConstraint("session_id", "position", name="pk_practice_answers"),
        _of("practice_answers", _PHOTO),
        sa.CheckConstraint(
            "verdict IN ('pass', 'review')", name=op.f("ck_practice_answers_verdict_known")
        ),
    )
    op.create_table(
        "practice_decisions",
        *_place(),
        sa.Column("decision", _WORD, nullable=False),
        sa.Column("photos", sa.Integer, nullable=False),
        sa.Column("misses", sa.Integer, nullable=False),
        sa.Column("clean", sa.Integer, nullable=False),
        sa.Column("false_alarms", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("session_id", "position", name="pk_practice_decisions"),
        _of("practice_decisions", _ANSWER),
        sa.CheckConstraint(
            "decision IN ('signed off', 'more practice')",
            name=op.f("ck_practice_decisions_decision_known"),
        ),
    )


def downgrade() -> None:
    """Take the tables away; what was practised is known to the history alone."""
    for name in ("decisions", "answers", "views", "photos", "sessions"):
        op.drop_table(f"practice_{name}")


def _place() -> tuple[sa.Column[int], sa.Column[int]]:
    return (
        sa.Column("session_id", sa.Integer, nullable=False, autoincrement=False),
        sa.Column("position", sa.Integer, nullable=False, autoincrement=False),
    )


def _of(table: str, columns: list[str]) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(
        ["session_id", "position"], columns, name=f"fk_{table}_session_id"
    )
