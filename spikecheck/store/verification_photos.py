"""Whether the photos' bytes are those that were recorded."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from sqlalchemy import select, union

from spikecheck.errors import StoreError
from spikecheck.store.tables import check_photos

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
    """Yield a line for each photo or overlay that is missing or damaged."""
    query = union(select(check_photos.c.sha256), select(check_photos.c.overlay_sha256))
    rows = connection.execution_options(yield_per=_AT_ONCE).execute(query)
    for sha256 in rows.scalars():
        counted.photos += 1
        counted.one()
        try:
            photos.read(sha256)
        except StoreError as error:
            yield error.what
