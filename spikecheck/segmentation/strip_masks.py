"""Where, in the straightened strip, plant tissue and the spike are."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.segmentation.plant_mask import plant_mask

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.segmentation.locate import LocatedSpike
    from spikecheck.thresholds import ColourThresholds

_REDUCTION = 0.25  # the outline is known no finer


def strip_masks(
    located: LocatedSpike, *, colour: ColourThresholds
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Return plant tissue and the filled outline of the spike, bool of the strip's shape."""
    strip = located.strip
    top_left = located.outline.min(axis=0) - 1
    size = (located.outline.max(axis=0) - top_left + 2) * _REDUCTION
    canvas = np.zeros(np.ceil(size).astype(int) + 1, np.uint8)
    polygon = np.round((located.outline - top_left) * _REDUCTION).astype(np.int32)
    cv2.fillPoly(canvas, [np.ascontiguousarray(polygon[:, ::-1])], 255)
    filled = cv2.remap(
        canvas,
        (strip.photo_columns - np.float32(top_left[1])) * np.float32(_REDUCTION),
        (strip.photo_rows - np.float32(top_left[0])) * np.float32(_REDUCTION),
        cv2.INTER_LINEAR,
    )
    return plant_mask(located.lab, thresholds=colour), np.asarray(filled > 127)  # noqa: PLR2004


def rims_mask(rims: list[NDArray[np.float32]], shape: tuple[int, ...]) -> NDArray[np.bool_]:
    """Return the inside of rims, each float32 (points, 2) of (row, column), bool of ``shape``."""
    mask = np.zeros(shape[:2], np.uint8)
    polygons = [np.ascontiguousarray(np.round(rim[:, ::-1]).astype(np.int32)) for rim in rims]
    cv2.fillPoly(mask, polygons, 1)
    return mask > 0
