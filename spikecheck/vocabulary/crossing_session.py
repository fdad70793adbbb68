"""One outing to cross: a day, a place, people."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date


@dataclass(frozen=True, slots=True)
class CrossingSession:
    """A crossing session.

    Parameters
    ----------
    id
        The user's own short id, unique in the store.
    day
        The local day.
    place
        Glasshouse, field or room; temperatures are kept by place. May be empty.
    people
        Who took part, in the order given.
    note
        Free text, may be empty.
    """

    id: str
    day: date
    place: str
    people: tuple[str, ...]
    note: str = ""
