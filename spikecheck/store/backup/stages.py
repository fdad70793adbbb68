"""How far making or restoring a backup is."""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum


class Stage(StrEnum):
    """What is being done."""

    TABLES = "tables"
    PHOTOS = "photos"
    CHECKING = "checking"


# Called with the stage, how much of it is done, and how much there is.
Progress = Callable[[Stage, int, int], None]


def silent(_stage: Stage, _done: int, _total: int) -> None:
    """Tell nobody."""
