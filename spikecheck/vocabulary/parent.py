"""A line that gives a cross its egg or its pollen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime


@dataclass(frozen=True, slots=True)
class Parent:
    """A parent of crosses.

    Parameters
    ----------
    name
        What crosses call it, unique in the store.
    accession
        Accession number, may be empty.
    pedigree
        In Purdy notation, checked, may be empty.
    place
        Plot or pot where it stands, may be empty.
    created_at
        When it was recorded, UTC.
    """

    name: str
    accession: str
    pedigree: str
    place: str
    created_at: datetime
