"""Ids of crosses with capital letters folded, so that no two differ in these alone."""

import unicodedata

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

_ROWS = 1000


def upgrade() -> None:
    """Add the column. Ids that are there stay as they are, even two that are alike when folded."""
    op.add_column("crosses", sa.Column("folded", sa.String(192), nullable=False, server_default=""))
    crosses = sa.table("crosses", sa.column("id"), sa.column("folded"))
    connection = op.get_bind()
    ids = connection.execute(sa.select(crosses.c.id)).scalars().all()
    change = (
        sa.update(crosses)
        .where(crosses.c.id == sa.bindparam("cross"))
        .values(folded=sa.bindparam("new"))
    )
    for begin in range(0, len(ids), _ROWS):
        connection.execute(
            change, [{"cross": one, "new": _folded(one)} for one in ids[begin : begin + _ROWS]]
        )
    op.create_index("ix_crosses_folded", "crosses", ["folded"])


def downgrade() -> None:
    """Take the column away; it follows from the ids."""
    op.drop_index("ix_crosses_folded", "crosses")
    op.drop_column("crosses", "folded")


def _folded(cross_id: str) -> str:
    return unicodedata.normalize("NFC", cross_id.casefold())
