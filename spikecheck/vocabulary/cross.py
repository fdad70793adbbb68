"""The cross a spike belongs to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime

WHEAT = "wheat"


@dataclass(frozen=True, slots=True)
class Cross:
    """A planned or running cross.

    Parameters
    ----------
    id
        The user's own short id, unique in the store.
    female, male
        Names of the parents; the female is the emasculated one.
    note
        Free text, may be empty.
    created_at
        When it was recorded, with time zone.
    purpose
        What the cross is made for, may be empty.
    seeds_wanted
        How many F1 seeds are wanted, or None when nobody said.
    crop
        Which crop's numbers hold, such as ``"wheat"``.
    project
        The crossing project it belongs to, may be empty.
    """

    id: str
    female: str
    male: str
    note: str
    created_at: datetime
    purpose: str = ""
    seeds_wanted: int | None = None
    crop: str = WHEAT
    project: str = ""
