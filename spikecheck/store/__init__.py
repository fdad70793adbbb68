"""The records: crosses, checks, photos.

Light to import: the database library is loaded when a store is opened.
"""

from typing import TYPE_CHECKING

from spikecheck.store.opening import open_store
from spikecheck.store.records import (
    CrossSummary,
    NewCheck,
    NewPhoto,
    Override,
    RecordedCheck,
    RecordedPhoto,
)

if TYPE_CHECKING:
    from spikecheck.store.store import Store

__all__ = [
    "CrossSummary",
    "NewCheck",
    "NewPhoto",
    "Override",
    "RecordedCheck",
    "RecordedPhoto",
    "Store",
    "open_store",
]


def __getattr__(name: str) -> object:
    """Load :class:`Store` when it is first asked for."""
    if name == "Store":
        from spikecheck.store.store import Store

        return Store
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
