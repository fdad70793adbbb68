"""Whether the photos' bytes are those that were recorded."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from sqlalchemy import or_, select, union

from spikecheck.errors import StoreError
from spikecheck.store.tables import check_photos, checks, spikes

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sqlalchemy import Connection

    from spikecheck.store.photo_files import PhotoFiles

_AT_ONCE = 500


class Counted(Protocol):
    """Counts photos looked at."""

    photos: int

    def one(self) -> None:
        """Count one thing looked at."""


def photo_faults(connection: Connection, photos: PhotoFiles, counted: Counted) -> Iterator[str]:
    """Yield a line for each photo or overlay that is missing or damaged, with whose it is."""
    query = union(select(check_photos.c.sha256), select(check_photos.c.overlay_sha256))
    rows = connection.execute(query.execution_options(yield_per=_AT_ONCE))
    for sha256 in rows.scalars():
        counted.photos += 1
        counted.one()
        try:
            photos.read(sha256)
        except StoreError as error:
            yield f"{error.what}: {_whose(connection, sha256)}"


def _whose(connection: Connection, sha256: str) -> str:
    """Return which spike and check name these bytes first, and how many more times they do."""
    rows = connection.execute(
        select(check_photos, spikes.c.cross_id, spikes.c.number)
        .join_from(check_photos, checks)
        .join(spikes)
        .where(or_(check_photos.c.sha256 == sha256, check_photos.c.overlay_sha256 == sha256))
        .order_by(check_photos.c.check_id, check_photos.c.position)
    ).all()
    first, *others = rows
    file = first.file_name if first.sha256 == sha256 else f"the overlay of {first.file_name}"
    more = f", and {len(others)} more" if others else ""
    return f"{file} of spike {first.cross_id}/{first.number}, check {first.check_id}{more}"
