"""Which thing that was found is which thing that is there.

One to one: as many pairs as possible, and among those the nearest ones (optimal assignment), so
that the order of the lists changes nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.vocabulary import Box, PhotoResult, PhotoTruth, Point


class Placed(Protocol):
    """Anything with a middle and, if known, an extent."""

    @property
    def centre(self) -> Point:
        """Its middle."""

    @property
    def box(self) -> Box | None:
        """Its extent, or None when only a point is known."""


@dataclass(frozen=True, slots=True)
class MatchRule:
    """How far apart a pair may be. These numbers decide no verdict, only what is counted as found.

    Parameters
    ----------
    anther_mm
        Farthest middle to middle of one anther, mm: half the length of an anther of 3 mm
        (central length 3.0-3.5 mm in reviews, from memory).
    floret_mm
        Farthest middle to middle of one floret, mm: half the width of a floret of 4 mm (3-4 mm
        wide, from memory).
    anther_share, floret_share
        The same as a share of the photo's longer side where no scale is known: the millimetres
        above in a frame of 100 mm, the length that shows a whole spike.
    """

    anther_mm: float = 1.5
    floret_mm: float = 2.0
    anther_share: float = 0.015
    floret_share: float = 0.02

    def anther_px(self, truth: PhotoTruth, result: PhotoResult) -> float:
        """Return the tolerance for anthers in this photo, px."""
        return _tolerance_px(truth, result, millimetres=self.anther_mm, share=self.anther_share)

    def floret_px(self, truth: PhotoTruth, result: PhotoResult) -> float:
        """Return the tolerance for florets in this photo, px."""
        return _tolerance_px(truth, result, millimetres=self.floret_mm, share=self.floret_share)


def match(
    there: Sequence[Placed], found: Sequence[Placed], *, tolerance_px: float
) -> tuple[tuple[int, int], ...]:
    """Pair what is there with what was found.

    Parameters
    ----------
    there, found
        True and reported things.
    tolerance_px
        A pair fits when the middles are at most this far apart, or when the middle of the one lies
        in the box of the other.

    Returns
    -------
    tuple of (int, int)
        Indices into ``there`` and ``found``; every index at most once, in the order of ``there``.
    """
    if not there or not found:
        return ()
    from scipy.optimize import linear_sum_assignment

    distance_px = np.hypot(
        _rows(there)[:, None] - _rows(found)[None, :],
        _columns(there)[:, None] - _columns(found)[None, :],
    )
    fits = distance_px <= tolerance_px
    for row, true in enumerate(there):
        for column, reported in enumerate(found):
            fits[row, column] |= _inside(true, reported) or _inside(reported, true)
    # One misfit costs more than all fitting pairs together, so no fitting pair is given up.
    misfit_px = (float(distance_px[fits].sum()) if fits.any() else 0.0) + 1.0
    rows, columns = linear_sum_assignment(np.where(fits, distance_px, misfit_px))
    return tuple(
        (int(row), int(column))
        for row, column in zip(rows, columns, strict=True)
        if fits[row, column]
    )


def _inside(one: Placed, other: Placed) -> bool:
    return other.box is not None and other.box.contains(one.centre)


def _rows(things: Sequence[Placed]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return np.array([thing.centre.row for thing in things], dtype=np.float64)


def _columns(things: Sequence[Placed]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return np.array([thing.centre.column for thing in things], dtype=np.float64)


def _tolerance_px(
    truth: PhotoTruth, result: PhotoResult, *, millimetres: float, share: float
) -> float:
    """Use the true scale; a found one may be wrong and would then forgive its own mistakes."""
    if truth.px_per_mm is not None:
        return millimetres * truth.px_per_mm
    return share * max(result.width, result.height)
