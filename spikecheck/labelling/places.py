"""Refuses what no mark of a photo can be."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from spikecheck.errors import UsageError
from spikecheck.language import _
from spikecheck.vocabulary import Point

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.vocabulary import PhotoTruth

T = TypeVar("T")


def inside(truth: PhotoTruth, place: Point) -> Point:
    """Return the place, to the tenth of a pixel that truth files keep.

    Raises
    ------
    UsageError
        If it lies outside the photo.
    """
    if not (0 <= place.row <= truth.height and 0 <= place.column <= truth.width):
        raise UsageError(
            _("x {column:g}, y {row:g} lies outside the photo").format(
                column=place.column, row=place.row
            ),
            cure=_("It is {width} wide and {height} high").format(
                width=truth.width, height=truth.height
            ),
        )
    return Point(round(place.row, 1), round(place.column, 1))


def one(marks: Sequence[T], index: int, kind: str) -> T:
    """Return the mark of this index.

    Raises
    ------
    UsageError
        If there is none.
    """
    if not 0 <= index < len(marks):
        raise UsageError(
            _("there is no {kind} {index}").format(kind=_(kind), index=index + 1),
            cure=_("Load the photo again"),
        )
    return marks[index]
