"""Which photos and overlays the tables name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import select, union

from spikecheck.store.tables import check_photos

if TYPE_CHECKING:
    from sqlalchemy import Connection

# A table that names files of the photo folder belongs here.
_COLUMNS = (check_photos.c.sha256, check_photos.c.overlay_sha256)


def named_photos(connection: Connection) -> frozenset[str]:
    """Return the SHA-256 of each, in any revision of the tables."""
    return frozenset(connection.execute(union(*map(select, _COLUMNS))).scalars())
