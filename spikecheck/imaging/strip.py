"""A straightened picture along a curved line, and the way back to the photo.

Everything that looks at florets works on one such strip: the spike upright, its tip at the top,
at a fixed number of pixels per estimated millimetre, however it was held and photographed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.vocabulary import Box, Point

if TYPE_CHECKING:
    from numpy.typing import NDArray

STRIP_PX_PER_MM = 20.0
"""Nominal: a spike of 10.5 mm at the working scale. One of 8 to 14 mm shows 26 to 15."""
_COLUMNS = 2
_ELLIPSE_POINTS = 32


@dataclass(frozen=True, slots=True, eq=False)
class Strip:
    """A straightened picture.

    Parameters
    ----------
    pixels
        uint8 of shape (rows, columns, 3), RGB, sRGB; row 0 is beyond the tip.
    inside
        bool of shape (rows, columns): False where the strip leaves the photo.
    photo_rows, photo_columns
        float32 of shape (rows, columns): where each strip pixel lies in the photo, px.
    tip_row, base_row
        Rows of the axis' ends in the strip.
    axis_column
        Column of the axis.
    zoom
        Strip pixels per photo pixel.
    """

    pixels: NDArray[np.uint8]
    inside: NDArray[np.bool_]
    photo_rows: NDArray[np.float32]
    photo_columns: NDArray[np.float32]
    tip_row: float
    base_row: float
    axis_column: float
    zoom: float

    def position(self, row: float) -> float:
        """Place along the spike of a strip row, 0 at the base and 1 at the tip."""
        return float(np.clip((self.base_row - row) / (self.base_row - self.tip_row), 0, 1))

    def holds(self, row: float, column: float) -> bool:
        """Tell whether a place in the strip lies in it and in the photo."""
        r, c = round(row), round(column)
        height, width = self.inside.shape
        return 0 <= r < height and 0 <= c < width and bool(self.inside[r, c])

    def photo_point(self, row: float, column: float) -> Point:
        """Return the place in the photo of a strip pixel."""
        r = int(np.clip(round(row), 0, self.pixels.shape[0] - 1))
        c = int(np.clip(round(column), 0, self.pixels.shape[1] - 1))
        return Point(float(self.photo_rows[r, c]), float(self.photo_columns[r, c]))

    def photo_box(self, rows: NDArray[np.intp], columns: NDArray[np.intp]) -> Box:
        """Return the upright box in the photo round some strip pixels."""
        pr, pc = self.photo_rows[rows, columns], self.photo_columns[rows, columns]
        half = 0.5 / self.zoom
        return Box(
            float(pr.min()) - half, float(pc.min()) - half,
            float(pr.max()) + half, float(pc.max()) + half,
        )  # fmt: skip

    def photo_box_of_ellipse(self, top: float, left: float, bottom: float, right: float) -> Box:
        """Return the upright box in the photo round the ellipse inside a box of the strip.

        Organs are round rather than square: the corners of a box, turned with the strip, would
        reach too far.
        """
        angles = np.linspace(0, 2 * np.pi, _ELLIPSE_POINTS, endpoint=False)
        height, width = self.inside.shape
        rows = (top + bottom) / 2 + (bottom - top) / 2 * np.sin(angles)
        columns = (left + right) / 2 + (right - left) / 2 * np.cos(angles)
        return self.photo_box(
            np.clip(np.round(rows), 0, height - 1).astype(np.intp),
            np.clip(np.round(columns), 0, width - 1).astype(np.intp),
        )


def straighten(
    pixels: NDArray[np.uint8],
    axis: NDArray[np.float64],
    *,
    half_width_px: float,
    margin_px: float,
    zoom: float,
) -> Strip:
    """Straighten the picture along ``axis``.

    Parameters
    ----------
    pixels
        uint8 of shape (rows, columns, 3), the photo.
    axis
        float64 of shape (M, 2): smooth line of (row, column) from base to tip, px of the photo.
    half_width_px
        How far to either side of the axis the strip reaches, photo px.
    margin_px
        How far beyond both ends, photo px.
    zoom
        Strip pixels per photo pixel; at most 1 keeps real detail.
    """
    line, tangent, length = _resampled(axis, margin_px=margin_px, step_px=1 / zoom)
    offsets = np.arange(-half_width_px, half_width_px + 1e-9, 1 / zoom)
    # looking from base to tip, right is the tangent turned clockwise: (row, column) = (t_c, -t_r)
    right = np.stack([tangent[:, 1], -tangent[:, 0]], axis=1)
    aside = offsets.astype(np.float32)
    rows, columns = (  # one plane after the other, in single precision: the strip is large
        from_tip[:, None] + aside * to_right[:, None]
        for from_tip, to_right in zip(
            line[::-1].T.astype(np.float32), right[::-1].T.astype(np.float32), strict=True
        )
    )
    height, width = pixels.shape[:2]
    inside = (rows >= 0) & (rows <= height - 1) & (columns >= 0) & (columns <= width - 1)
    straight = _sampled(pixels, rows, columns, zoom=zoom)
    base_row = len(line) - 1 - margin_px * zoom  # the line begins a margin before the base
    return Strip(
        pixels=straight, inside=inside, photo_rows=rows, photo_columns=columns,
        tip_row=base_row - length * zoom, base_row=base_row, axis_column=half_width_px * zoom,
        zoom=zoom,
    )  # fmt: skip


def _resampled(
    axis: NDArray[np.float64], *, margin_px: float, step_px: float
) -> tuple[NDArray[np.float64], NDArray[np.float64], float]:
    steps = np.linalg.norm(np.diff(axis, axis=0), axis=1)
    places = np.concatenate([[0.0], np.cumsum(steps)])
    length = float(places[-1])
    wanted = np.arange(-margin_px, length + margin_px + 1e-9, step_px)
    tangent = np.gradient(axis, places, axis=0)
    tangent = np.stack([np.interp(wanted, places, tangent[:, i]) for i in range(_COLUMNS)], axis=1)
    tangent = tangent / np.linalg.norm(tangent, axis=1, keepdims=True)
    line = np.stack([np.interp(wanted, places, axis[:, i]) for i in range(_COLUMNS)], axis=1)
    beyond = np.minimum(wanted, 0) + np.maximum(wanted - length, 0)
    return line + beyond[:, None] * tangent, tangent, length


def _sampled(
    pixels: NDArray[np.uint8],
    rows: NDArray[np.float32],
    columns: NDArray[np.float32],
    *,
    zoom: float,
) -> NDArray[np.uint8]:
    """Sample by area first when reducing, so that fine detail does not alias."""
    top, left = max(0, int(rows.min()) - 2), max(0, int(columns.min()) - 2)
    reduced = min(1.0, zoom)
    beyond = 3 + int(np.ceil(1 / reduced))  # the last reduced pixel must lie beyond the last place
    bottom, right = int(rows.max()) + beyond, int(columns.max()) + beyond
    crop = cv2.resize(
        pixels[top:bottom, left:right], None, fx=reduced, fy=reduced, interpolation=cv2.INTER_AREA
    )
    # pixel centres of the reduced crop: (place + 0.5) * factor - 0.5
    column_map = (columns - left + 0.5) * np.float32(reduced) - 0.5
    row_map = (rows - top + 0.5) * np.float32(reduced) - 0.5
    straight = cv2.remap(
        crop, column_map, row_map, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    return np.asarray(straight, dtype=np.uint8)
