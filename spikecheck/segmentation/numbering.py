"""Numbers of the florets from base to tip on each side, and where they are in the photo."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.segmentation.florets import of_side
from spikecheck.vocabulary import Box, Floret, Point, Side

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.imaging.strip import Strip
    from spikecheck.segmentation.florets import FloretPlace


def number_florets(
    places: Sequence[FloretPlace], strip: Strip, *, floret_px: float
) -> tuple[tuple[FloretPlace, Floret], ...]:
    """Give florets their numbers from base to tip on each side.

    Parameters
    ----------
    places
        The florets.
    strip
        The strip they stand in.
    floret_px
        Side of the box drawn where no opening was seen, strip px.
    """
    numbered = []
    for side in Side:
        for number, place in enumerate(of_side(places, side), start=1):
            floret = Floret(
                id=f"{side.letter}{number}",
                centre=strip.photo_point(place.row, place.column),
                box=_box(place, strip, floret_px),
                side=side,
                position=strip.position(place.row),
                clipped=place.clipped,
                cavity_seen=place.cavity_seen,
            )
            numbered.append((place, floret))
    return tuple(numbered)


def _box(place: FloretPlace, strip: Strip, floret_px: float) -> Box:
    if place.opening is None:
        half = floret_px / 2 / strip.zoom
        centre = strip.photo_point(place.row, place.column)
        return _square(centre, half)
    rows, columns = (np.round(place.opening.rim[:, i]).astype(np.intp) for i in (0, 1))
    height, width = strip.inside.shape
    return strip.photo_box(np.clip(rows, 0, height - 1), np.clip(columns, 0, width - 1))


def _square(centre: Point, half: float) -> Box:
    return Box(centre.row - half, centre.column - half, centre.row + half, centre.column + half)
