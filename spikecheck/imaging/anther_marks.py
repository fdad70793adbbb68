"""Puts the corner marks of anthers together where each on its own would be drawn over the next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.imaging.marks import anther_letters
from spikecheck.vocabulary.floret import FloretStatus

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    from spikecheck.vocabulary.anther import Anther
    from spikecheck.vocabulary.floret import JudgedFloret

_GAP_PX = 6  # between an anther's box and the corners drawn about it


@dataclass(frozen=True, slots=True)
class AntherMark:
    """Corners to draw, about one anther or several of one floret that touch.

    Parameters
    ----------
    top, left, bottom, right
        The corners, px of the drawn picture.
    floret
        Id of the floret, or None outside the florets.
    letters
        What stands beside them, each once, in the order of the anthers.
    """

    top: float
    left: float
    bottom: float
    right: float
    floret: str | None
    letters: tuple[str, ...]

    def touches(self, other: AntherMark) -> bool:
        """Tell whether the two belong to one floret and their corners meet."""
        return (
            self.floret == other.floret
            and self.top <= other.bottom and other.top <= self.bottom
            and self.left <= other.right and other.left <= self.right
        )  # fmt: skip

    def nearest(self, point: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the place within the corners, (row, column), that is nearest to ``point``."""
        return np.clip(point, (self.top, self.left), (self.bottom, self.right))

    def joined(self, other: AntherMark) -> AntherMark:
        """Return one mark about both."""
        return AntherMark(
            min(self.top, other.top), min(self.left, other.left),
            max(self.bottom, other.bottom), max(self.right, other.right),
            self.floret, tuple(dict.fromkeys(self.letters + other.letters)),
        )  # fmt: skip


def anther_marks(
    anthers: Sequence[Anther], place: Callable[[NDArray[np.float64]], NDArray[np.float64]]
) -> list[AntherMark]:
    """Return the marks to draw; no two of one floret meet.

    Parameters
    ----------
    anthers
        As found.
    place
        Takes points of the photo, (row, column), shape (N, 2), to points of the drawn picture.
    """
    marks: list[AntherMark] = []
    for anther in anthers:
        box = anther.box
        ends = place(np.array([[box.top, box.left], [box.bottom, box.right]]))
        (top, left), (bottom, right) = ends[0] - _GAP_PX, ends[1] + _GAP_PX
        mark = AntherMark(
            float(top), float(left), float(bottom), float(right), anther.floret, (_letters(anther),)
        )
        # A mark that has grown may meet one it did not meet before.
        while near := [other for other in marks if mark.touches(other)]:
            marks = [other for other in marks if other not in near]
            for other in near:
                mark = other.joined(mark)
        marks.append(mark)
    return marks


def letters_of(judged: JudgedFloret, anthers: Sequence[Anther]) -> list[str]:
    """Return what a floret's label says of its anthers: nothing, or their letters, each once."""
    if judged.status is not FloretStatus.ANTHER:
        return []
    found = [_letters(anther) for anther in anthers if anther.floret == judged.floret.id]
    return [", ".join(dict.fromkeys(found))] if found else []


def _letters(anther: Anther) -> str:
    return anther_letters(anther.stage, near_anthesis=anther.near_anthesis, broken=anther.broken)
