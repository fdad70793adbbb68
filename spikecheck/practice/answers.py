"""What is shown in practice, what a person says of it, and which leftovers were marked."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.errors import UsageError
from spikecheck.language import _
from spikecheck.vocabulary import AntherStage, Point, Side, Verdict

if TYPE_CHECKING:
    from spikecheck.thresholds.practice import PracticeThresholds


@dataclass(frozen=True, slots=True)
class LeftoverAnther:
    """A leftover anther that is really in the photo.

    Parameters
    ----------
    centre
        Middle of its visible part.
    stage
        Stage by its look.
    visible_area_mm2
        Area that shows, mm², above 0: what does not show cannot be practised. None where nobody
        measured it, as in photos that people marked.
    position
        Place along the spike, 0 at the base and 1 at the tip.
    side
        Side of the axis.

    Raises
    ------
    UsageError
        If the area or the position cannot be.
    """

    centre: Point
    stage: AntherStage
    visible_area_mm2: float | None
    position: float
    side: Side

    def __post_init__(self) -> None:
        _placed(self.centre.row, self.centre.column)
        area_mm2 = self.visible_area_mm2
        if area_mm2 is not None and not (math.isfinite(area_mm2) and area_mm2 > 0):
            raise UsageError(f"the area of a leftover in sight is positive, got {area_mm2} mm²")
        if not 0 <= self.position <= 1:
            raise UsageError(f"the position of a leftover lies in 0..1, got {self.position}")


@dataclass(frozen=True, slots=True)
class Item:
    """One photo whose truth is known.

    Parameters
    ----------
    photo
        Its id: two items of the same id are the same photo.
    px_per_mm
        True scale, px/mm, above 0.
    leftovers
        Every leftover anther that shows; none on a clean spike.

    Raises
    ------
    UsageError
        If the id is empty or the scale cannot be.
    """

    photo: str
    px_per_mm: float
    leftovers: tuple[LeftoverAnther, ...] = ()

    def __post_init__(self) -> None:
        if not self.photo:
            raise UsageError("a photo for practice needs an id")
        if not (math.isfinite(self.px_per_mm) and self.px_per_mm > 0):
            raise UsageError(f"the scale of {self.photo} is positive, got {self.px_per_mm} px/mm")

    @property
    def clean(self) -> bool:
        """Whether no leftover shows."""
        return not self.leftovers


@dataclass(frozen=True, slots=True)
class Mark:
    """Where a person points at a leftover.

    Parameters
    ----------
    row, column
        Distance from the top and from the left edge, px, of the upright full-resolution image.

    Raises
    ------
    UsageError
        If one is no finite number.
    """

    row: float
    column: float

    def __post_init__(self) -> None:
        _placed(self.row, self.column)


@dataclass(frozen=True, slots=True)
class Answer:
    """What a person says of one photo.

    Parameters
    ----------
    item
        The photo.
    marks
        Where leftovers are seen.
    verdict
        Pass or review. Review needs no mark: unsure is review.
    seconds
        How long the photo was looked at, s, 0 or more.

    Raises
    ------
    UsageError
        If a photo with a mark passes, or the time cannot be.
    """

    item: Item
    marks: tuple[Mark, ...]
    verdict: Verdict
    seconds: float

    def __post_init__(self) -> None:
        if self.marks and self.verdict is Verdict.PASS:
            raise UsageError(
                _("a spike with a leftover marked cannot pass"),
                cure=_("Say review, or take the marks away"),
            )  # fmt: skip
        if not (math.isfinite(self.seconds) and self.seconds >= 0):
            raise UsageError(f"the time of an answer is 0 s or more, got {self.seconds}")


@dataclass(frozen=True, slots=True)
class MarkedAnswer:
    """An answer beside the truth.

    Parameters
    ----------
    answer
        The answer.
    pairs
        Indices into the item's leftovers and into the marks, in the order of the leftovers; every
        index at most once.
    """

    answer: Answer
    pairs: tuple[tuple[int, int], ...]

    @property
    def found(self) -> tuple[LeftoverAnther, ...]:
        """Leftovers with a mark of their own."""
        return tuple(self.answer.item.leftovers[there] for there, _ in self.pairs)

    @property
    def missed(self) -> tuple[LeftoverAnther, ...]:
        """Leftovers without a mark of their own."""
        taken = {there for there, _ in self.pairs}
        return tuple(
            leftover for index, leftover in enumerate(self.answer.item.leftovers)
            if index not in taken
        )  # fmt: skip

    @property
    def astray(self) -> tuple[Mark, ...]:
        """Marks on nothing, or second marks on one leftover."""
        taken = {mark for _, mark in self.pairs}
        return tuple(mark for index, mark in enumerate(self.answer.marks) if index not in taken)

    @property
    def hit(self) -> bool:
        """Whether the spike has a leftover and one was marked: review alone shows no seeing."""
        return bool(self.pairs)

    @property
    def false_alarm(self) -> bool:
        """Whether a clean spike was sent to review."""
        return self.answer.item.clean and self.answer.verdict is Verdict.REVIEW


def compare(answer: Answer, numbers: PracticeThresholds) -> MarkedAnswer:
    """Pair marks with leftovers: as many as possible, and among those the nearest ones.

    A pair fits when the mark lies at most ``mark_radius_mm`` from the leftover's middle. Optimal
    assignment makes the order of marks irrelevant.

    Parameters
    ----------
    answer
        The answer.
    numbers
        Thresholds of practice.

    Returns
    -------
    MarkedAnswer
        The answer with its pairs.
    """
    leftovers, marks = answer.item.leftovers, answer.marks
    if not leftovers or not marks:
        return MarkedAnswer(answer, ())
    from scipy.optimize import linear_sum_assignment

    there = np.array([(one.centre.row, one.centre.column) for one in leftovers], dtype=np.float64)
    said = np.array([(mark.row, mark.column) for mark in marks], dtype=np.float64)
    apart_mm = np.hypot(*(there[:, None] - said[None, :]).transpose(2, 0, 1))
    apart_mm /= answer.item.px_per_mm
    fits = apart_mm <= numbers.mark_radius_mm
    # One misfit costs more than all fitting pairs together, so no fitting pair is given up.
    misfit_mm = float(apart_mm[fits].sum()) + 1.0
    rows, columns = linear_sum_assignment(np.where(fits, apart_mm, misfit_mm))
    return MarkedAnswer(
        answer,
        tuple(
            (int(row), int(column))
            for row, column in zip(rows, columns, strict=True)
            if fits[row, column]
        ),
    )


def _placed(row: float, column: float) -> None:
    if not (math.isfinite(row) and math.isfinite(column)):
        raise UsageError(f"a place in a photo is two finite numbers, got {row}, {column}")
