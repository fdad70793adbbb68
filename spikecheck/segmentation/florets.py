"""Florets from openings: side, place in the strip, and those that should be there.

Florets of one side follow one another at a nearly even distance. Where the next one is missing,
a floret that was not seen stands in its place, so that nothing passes unseen.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.vocabulary import Side

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.imaging.strip import Strip
    from spikecheck.segmentation.openings import Opening
    from spikecheck.thresholds import SegmentationThresholds

_LEAST_FOR_SPACING = 2


@dataclass(frozen=True, slots=True)
class FloretPlace:
    """A floret in the strip, before it has a number.

    Parameters
    ----------
    row, column
        Middle of its opening, or where it should be, strip px.
    side
        Side of the axis.
    cavity_seen
        Share of the opening that can be looked into; 0 where no opening was seen.
    clipped
        Whether its top is cut.
    opening
        Its opening, or None.
    """

    row: float
    column: float
    side: Side
    cavity_seen: float
    clipped: bool
    opening: Opening | None


def floret_places(
    openings: Sequence[Opening],
    strip: Strip,
    darkness: NDArray[np.float32],
    *,
    thresholds: SegmentationThresholds,
) -> tuple[FloretPlace, ...]:
    """Return one place an opening, and one for every floret missing between them.

    Parameters
    ----------
    openings
        Sure and doubtful openings.
    strip
        The strip they were found in.
    darkness
        float32 of the strip's shape: share of the surrounding tissue's lightness that is missing.
    thresholds
        What is sure, what is the front, what is a gap, what is a closed top.
    """
    seen = [_place(opening, strip, thresholds=thresholds) for opening in openings]
    spacing = same_side_spacing_px(seen)
    if spacing is None:
        return tuple(seen)
    missing = [
        place
        for side in (Side.LEFT, Side.RIGHT)
        for place in _missing(
            seen, side, spacing, strip.axis_column, darkness, thresholds=thresholds
        )
    ]
    return tuple(seen + missing)


def same_side_spacing_px(places: Sequence[FloretPlace]) -> float | None:
    """Return the median distance of neighbours on one side, strip px; None for too few."""
    steps = [
        abs(a.row - b.row)
        for side in (Side.LEFT, Side.RIGHT)
        for a, b in pairwise(of_side(places, side))
    ]
    return float(np.median(steps)) if len(steps) >= _LEAST_FOR_SPACING else None


def of_side(places: Sequence[FloretPlace], side: Side) -> list[FloretPlace]:
    """Return the florets of a side from base to tip (the tip is at row 0)."""
    return sorted((p for p in places if p.side is side), key=lambda place: -place.row)


def _place(opening: Opening, strip: Strip, *, thresholds: SegmentationThresholds) -> FloretPlace:
    row, column = opening.centre
    offset = column - strip.axis_column
    if abs(offset) < thresholds.front_offset_px:
        side = Side.FRONT
    else:
        side = Side.LEFT if offset < 0 else Side.RIGHT
    sure = opening.log_odds >= thresholds.opening_log_odds
    return FloretPlace(row, column, side, opening.rim_seen if sure else 0.0, True, opening)


def _missing(
    seen: Sequence[FloretPlace],
    side: Side,
    spacing: float,
    axis_column: float,
    darkness: NDArray[np.float32],
    *,
    thresholds: SegmentationThresholds,
) -> list[FloretPlace]:
    """Return places for the florets missing between neighbours; front florets may fill a gap."""
    own = [place for place in seen if place.side in (side, Side.FRONT)]
    column = _column_of(side, seen, axis_column)
    found = []
    for lower, upper in pairwise(sorted(own, key=lambda place: -place.row)):
        gap = lower.row - upper.row
        if gap > thresholds.gap_spacings * spacing:
            count = max(1, round(gap / spacing) - 1)
            for i in range(1, count + 1):
                row = lower.row - gap * i / (count + 1)
                clipped = not _closed_top(row, column, darkness, thresholds=thresholds)
                found.append(FloretPlace(row, column, side, 0.0, clipped, None))
    return found


def _column_of(side: Side, seen: Sequence[FloretPlace], axis_column: float) -> float:
    """Return where the florets of ``side`` stand: as far out as the others if none was seen."""
    columns = [place.column for place in seen if place.side is side]
    mirrored = [2 * axis_column - place.column for place in seen if place.side is not Side.FRONT]
    return float(np.median(columns or mirrored))


def _closed_top(
    row: float,
    column: float,
    darkness: NDArray[np.float32],
    *,
    thresholds: SegmentationThresholds,
) -> bool:
    """Tell whether only evenly lit tissue is there: a floret whose top nobody cut."""
    reach = round(thresholds.opening_apart_px)
    rows, columns = (
        slice(max(0, round(middle) - reach), max(0, round(middle) + reach))
        for middle in (row, column)
    )
    around = darkness[rows, columns]
    return bool(
        around.size and (around > thresholds.cavity_darkness).mean() < thresholds.closed_dark_share
    )
