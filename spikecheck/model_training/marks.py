"""Florets and anthers of a photo as rows of numbers, which turn and scale with the picture."""

from __future__ import annotations

from enum import IntEnum
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.model_training.class_map import PixelClass
from spikecheck.vocabulary import AntherStage, Side

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.model_training.views import View
    from spikecheck.vocabulary import Box, PhotoTruth

OUTLINE_POINTS = 16
"""Places on the edge of an object, from which its box follows however the picture is turned."""
_LEFT = {Side.LEFT: 1.0, Side.RIGHT: 0.0, Side.FRONT: 0.5}
_STAGES = tuple(AntherStage)


class AntherColumn(IntEnum):
    """Columns of an anther's row; a row then ends with the outline. NaN is unknown."""

    ROW = 0
    COLUMN = 1
    STAGE = 2
    NEAR_ANTHESIS = 3
    BROKEN = 4
    AREA_MM2 = 5


class FloretColumn(IntEnum):
    """Columns of a floret's row; a row then ends with the outline. NaN is unknown."""

    ROW = 0
    COLUMN = 1
    LEFT = 2
    CLIPPED = 3
    CAVITY = 4
    ANTHER_MM2 = 5
    """Largest visible area of an anther in it, mm²; 0 when it is known to show none."""


FIRST_OUTLINE = 6
MARK_COLUMNS = FIRST_OUTLINE + 2 * OUTLINE_POINTS


def anther_marks(
    truth: PhotoTruth, view: View, classes: NDArray[np.uint8] | None
) -> NDArray[np.float32]:
    """Return the anthers in view.

    Parameters
    ----------
    truth
        What is in the photo.
    view
        Where the rows' places are to lie.
    classes
        uint8 class map of the photo, or None.

    Returns
    -------
    NDArray
        float32 of shape (A, MARK_COLUMNS).
    """
    rows = []
    for anther in truth.anthers:
        centre = view.place(np.array([anther.centre.row, anther.centre.column]))
        outline = np.full((OUTLINE_POINTS, 2), np.nan)
        if anther.box is not None:
            seen = None if classes is None else _seen_outline(classes, anther.box)
            outline = view.place(_ellipse(anther.box) if seen is None else seen)
        stage = np.nan if anther.stage is None else _STAGES.index(anther.stage)
        numbers = (stage, anther.near_anthesis, anther.broken, anther.visible_area_mm2)
        rows.append([*centre, *(_number(n) for n in numbers), *outline.ravel()])
    return np.array(rows, np.float32).reshape(-1, MARK_COLUMNS)


def floret_marks(truth: PhotoTruth, view: View) -> NDArray[np.float32]:
    """Return the florets in view, float32 of shape (F, MARK_COLUMNS); none when not marked."""
    rows = []
    for floret in truth.florets or ():
        centre = view.place(np.array([floret.centre.row, floret.centre.column]))
        inside = [a.visible_area_mm2 for a in truth.anthers if a.floret == floret.id]
        largest = max((np.inf if area is None else area for area in inside), default=0.0)
        if not truth.complete and not inside:
            largest = np.nan
        outline = view.place(_ellipse(floret.box))
        numbers = (_LEFT[floret.side], floret.clipped, floret.cavity_visible, largest)
        rows.append([*centre, *(float(n) for n in numbers), *outline.ravel()])
    return np.array(rows, np.float32).reshape(-1, MARK_COLUMNS)


def _number(value: float | None) -> float:
    return np.nan if value is None else float(value)


def _ellipse(box: Box) -> NDArray[np.float64]:
    """Return places on the ellipse inside ``box``, a better guess than its corners."""
    angles = np.arange(OUTLINE_POINTS) * (2 * np.pi / OUTLINE_POINTS)
    half = np.array([box.bottom - box.top, box.right - box.left]) / 2
    middle = np.array([box.top + box.bottom - 1, box.left + box.right - 1]) / 2
    edge: NDArray[np.float64] = middle + half * np.stack([np.sin(angles), np.cos(angles)], axis=1)
    return edge


def _seen_outline(classes: NDArray[np.uint8], box: Box) -> NDArray[np.float64] | None:
    """Return the outermost anther pixels inside ``box`` in evenly spread directions."""
    top, left = max(0, round(box.top)), max(0, round(box.left))
    part = classes[top : round(box.bottom), left : round(box.right)]
    places = np.argwhere(
        (part >= PixelClass.GREEN_ANTHER) & (part <= PixelClass.DEHISCED_ANTHER)
    ).astype(np.float64)
    if not len(places):
        return None
    angles = np.arange(OUTLINE_POINTS) * (2 * np.pi / OUTLINE_POINTS)
    directions = np.stack([np.sin(angles), np.cos(angles)], axis=1)
    outermost = places[np.argmax(places @ directions.T, axis=0)]
    # half a pixel further out: a pixel covers half a pixel to every side of its centre
    edge: NDArray[np.float64] = outermost + 0.5 * directions + (top, left)
    return edge
