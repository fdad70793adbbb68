"""Measures of a patch that tell an anther from stigma, ovary, rim, wall and papery tissue."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.imaging.strip import STRIP_PX_PER_MM

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.anthers.blobs import Blob, StripColours

_AROUND_PX = 6  # the ring looked at around a patch: 0.3 mm

FEATURES = (
    "area_mm2", "length_mm", "width_mm", "thickness_mm", "fill", "lighter", "yellower", "hue_step",
    "chroma_ratio", "in_opening", "light_ridge", "chroma_ridge", "lighter_than_around",
    "more_coloured_than_around", "hue_from_around", "unevenness", "off_spike",
)  # fmt: skip


def blob_features(
    blobs: Sequence[Blob],
    colours: StripColours,
    spike: NDArray[np.bool_],
    openings: NDArray[np.bool_],
) -> NDArray[np.float64]:
    """Measure every patch.

    Parameters
    ----------
    blobs
        N patches.
    colours
        Pictures of the strip they were found in.
    spike, openings
        bool (rows, columns): the spike's outline; the inside of the openings' rims.

    Returns
    -------
    features
        float64 of shape (N, 17), in the order of :data:`FEATURES`.
    """
    rows = [_measure(blob, colours, spike, openings) for blob in blobs]
    return np.array(rows, dtype=np.float64).reshape(len(blobs), len(FEATURES))


def length_and_width_px(blob: Blob) -> tuple[float, float]:
    """Return the sides of the smallest rectangle round a patch, longer first, strip px."""
    points = np.stack([blob.columns, blob.rows], axis=1).astype(np.float32)
    _, sides, _ = cv2.minAreaRect(points)
    return float(max(sides)) + 1, float(min(sides)) + 1


def _measure(
    blob: Blob, colours: StripColours, spike: NDArray[np.bool_], openings: NDArray[np.bool_]
) -> list[float]:
    here = (blob.rows, blob.columns)
    own = colours.tissue
    length, width = (side / STRIP_PX_PER_MM for side in length_and_width_px(blob))
    area = len(blob.rows) / STRIP_PX_PER_MM**2
    thickness_mm, around = _thickness_and_ring(blob, spike.shape)
    light, colour, hue = (
        float(picture[here].mean())
        for picture in (colours.lightness, colours.chroma, colours.hue_deg)
    )
    ring_light, ring_colour, ring_hue = (
        float(picture[around].mean())
        for picture in (colours.lightness, colours.chroma, colours.hue_deg)
    )
    return [
        area,
        length,
        width,
        thickness_mm,
        area / (length * width),
        light - own.lightness,
        float(colours.b[here].mean()) - own.b,
        hue - own.hue_deg,
        colour / max(own.chroma, 1),
        float(openings[here].mean()),
        float(colours.light_ridge[here].mean()),
        float(colours.chroma_ridge[here].mean()),
        light - ring_light,
        colour - ring_colour,
        hue - ring_hue,
        float(colours.lightness[here].std()),
        float((~spike[here]).mean()),
    ]


def _thickness_and_ring(
    blob: Blob, shape: tuple[int, ...]
) -> tuple[float, tuple[NDArray[np.intp], NDArray[np.intp]]]:
    """Return the greatest thickness, mm, and the pixels of the ring around the patch."""
    pad = _AROUND_PX + 1
    top, left = int(blob.rows.min()) - pad, int(blob.columns.min()) - pad
    size = (int(blob.rows.max()) - top + pad + 1, int(blob.columns.max()) - left + pad + 1)
    mask = np.zeros(size, np.uint8)
    mask[blob.rows - top, blob.columns - left] = 1
    thickness = 2 * float(cv2.distanceTransform(mask, cv2.DIST_L2, 5).max()) / STRIP_PX_PER_MM
    distance = cv2.distanceTransform(1 - mask, cv2.DIST_L2, 5)
    rows, columns = np.nonzero((distance > 1) & (distance <= _AROUND_PX))
    rows, columns = rows + top, columns + left
    inside = (rows >= 0) & (rows < shape[0]) & (columns >= 0) & (columns < shape[1])
    if not inside.any():
        return thickness, (blob.rows, blob.columns)
    return thickness, (rows[inside], columns[inside])
