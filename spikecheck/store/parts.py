"""Many things in parts of a few: a database takes and gives so many at a time."""

from __future__ import annotations

from itertools import islice
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

_Thing = TypeVar("_Thing")


def in_parts(things: Iterable[_Thing], most: int) -> Iterator[tuple[_Thing, ...]]:
    """Yield things in their order, ``most`` at a time and the rest last, read as they are needed.

    As ``itertools.batched`` of Python 3.12.
    """
    reading = iter(things)
    while several := tuple(islice(reading, most)):
        yield several
