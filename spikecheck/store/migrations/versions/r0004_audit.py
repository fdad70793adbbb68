"""The audit of each spike, and who overrode the verdict that stands."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

_NAME = sa.String(200)


def upgrade() -> None:
    """Add the columns; who overrode what was recorded before is known from the overrides."""
    op.add_column(
        "spike_states", sa.Column("overridden_by", _NAME, nullable=False, server_default="")
    )
    op.add_column("spike_states", sa.Column("audit", sa.Text, nullable=True))
    states = sa.table(
        "spike_states", sa.column("check_id"), sa.column("overridden"), sa.column("overridden_by")
    )
    overrides = sa.table(
        "overrides", sa.column("id"), sa.column("check_id"), sa.column("overridden_by")
    )
    latest = (
        sa.select(overrides.c.overridden_by)
        .where(overrides.c.check_id == states.c.check_id)
        .order_by(overrides.c.id.desc())
        .limit(1)
        .scalar_subquery()
    )
    op.execute(
        sa.update(states)
        .where(states.c.overridden.is_(sa.true()))
        .values(overridden_by=sa.func.coalesce(latest, ""))
    )


def downgrade() -> None:
    """Take the columns away; the history keeps what they say."""
    op.drop_column("spike_states", "audit")
    op.drop_column("spike_states", "overridden_by")
