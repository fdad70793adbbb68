"""Crosses, spikes, checks with their photos, and overrides.

A revision is never changed once released, so it spells the tables out instead of importing them.
``op.f`` marks a name as whole: without it the naming convention would put its prefix on again.
"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

_TIME = sa.DateTime(timezone=True)
_VERDICT_KNOWN = "verdict IN ('pass', 'review')"


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "crosses",
        sa.Column("id", sa.String(64), nullable=False),
        sa.Column("female", sa.String(200), nullable=False),
        sa.Column("male", sa.String(200), nullable=False),
        sa.Column("note", sa.Text, nullable=False),
        sa.Column("created_at", _TIME, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_crosses"),
    )
    op.create_table(
        "spikes",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("cross_id", sa.String(64), nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_spikes"),
        sa.ForeignKeyConstraint(["cross_id"], ["crosses.id"], name="fk_spikes_cross_id"),
        sa.UniqueConstraint("cross_id", "number", name="uq_spikes_cross_id_number"),
        sa.CheckConstraint("number >= 1", name=op.f("ck_spikes_number_from_one")),
    )
    op.create_table(
        "checks",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("spike_id", sa.Integer, nullable=False),
        sa.Column("checked_by", sa.String(200), nullable=False),
        sa.Column("checked_at", _TIME, nullable=False),
        sa.Column("verdict", sa.String(16), nullable=False),
        sa.Column("result", sa.Text, nullable=False),
        sa.Column("model_name", sa.Text, nullable=False),
        sa.Column("model_version", sa.Text, nullable=False),
        sa.Column("model_sha256", sa.String(64), nullable=False),
        sa.Column("thresholds_sha256", sa.String(64), nullable=False),
        sa.Column("software_version", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_checks"),
        sa.ForeignKeyConstraint(["spike_id"], ["spikes.id"], name="fk_checks_spike_id"),
        sa.CheckConstraint(_VERDICT_KNOWN, name=op.f("ck_checks_verdict_known")),
    )
    op.create_index("ix_checks_spike_id", "checks", ["spike_id"])
    op.create_table(
        "check_photos",
        sa.Column("check_id", sa.Integer, nullable=False),
        sa.Column("position", sa.Integer, nullable=False),
        sa.Column("file_name", sa.Text, nullable=False),
        sa.Column("sha256", sa.String(64), nullable=False),
        sa.Column("overlay_sha256", sa.String(64), nullable=False),
        sa.PrimaryKeyConstraint("check_id", "position", name="pk_check_photos"),
        sa.ForeignKeyConstraint(["check_id"], ["checks.id"], name="fk_check_photos_check_id"),
    )
    op.create_index("ix_check_photos_sha256", "check_photos", ["sha256"])
    op.create_table(
        "overrides",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("check_id", sa.Integer, nullable=False),
        sa.Column("overridden_by", sa.String(200), nullable=False),
        sa.Column("overridden_at", _TIME, nullable=False),
        sa.Column("verdict", sa.String(16), nullable=False),
        sa.Column("reason", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_overrides"),
        sa.ForeignKeyConstraint(["check_id"], ["checks.id"], name="fk_overrides_check_id"),
        sa.CheckConstraint(_VERDICT_KNOWN, name=op.f("ck_overrides_verdict_known")),
        sa.CheckConstraint("reason <> ''", name=op.f("ck_overrides_reason_given")),
    )
    op.create_index("ix_overrides_check_id", "overrides", ["check_id"])


def downgrade() -> None:
    """Take the tables away."""
    for name in ("overrides", "check_photos", "checks", "spikes", "crosses"):
        op.drop_table(name)
