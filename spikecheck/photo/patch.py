"""The part of a photo that matters: the spike, cut out and divided into tiles along its axis."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.vocabulary.photo import Photo
    from spikecheck.vocabulary.spike import Spike

_SIDES = 2
_CELL_MM = 0.8
_LEAST_SIDE_PX = 16
_LEAST_CELLS, _MOST_CELLS = 4, 600
_MOST_PAIRS = 64
_LEAST_STEP_PX = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class SpikePatch:
    """One spike cut out of its photo.

    Parameters
    ----------
    pixels
        uint8 array of shape (rows, columns, 3): the box around the outline, full resolution.
    outline
        float64 array of shape (N, 2): the outline in (row, column) of ``pixels``.
    px_per_mm
        Scale that millimetres are reckoned with.
    cell_px
        Side of a cell of ``cells``, px.
    cells
        int32 array: number of the tile each cell of ``pixels`` belongs to, from 0. Tiles lie in
        pairs, left and right of the axis, from the base to the tip.
    tile_count
        How many tiles there are; even.
    """

    pixels: NDArray[np.uint8]
    outline: NDArray[np.float64]
    px_per_mm: float
    cell_px: int
    cells: NDArray[np.int32]
    tile_count: int

    def mask(self, shrink: int) -> NDArray[np.bool_]:
        """Return where the spike is in the patch made ``shrink`` times smaller.

        Returns
        -------
        ndarray of bool, shape (rows // shrink, columns // shrink)
        """
        import cv2

        rows, columns = self.pixels.shape[:2]
        filled = np.zeros((rows // shrink, columns // shrink), np.uint8)
        corners = (self.outline[:, ::-1] + 0.5) / shrink - 0.5
        cv2.fillPoly(filled, [np.rint(corners).astype(np.int32)], 1)
        return filled.astype(bool)

    def tiles_at(
        self, rows: NDArray[np.intp], columns: NDArray[np.intp], shrink: int
    ) -> NDArray[np.int32]:
        """Return the tile of each place in the patch made ``shrink`` times smaller."""
        middle = shrink // 2
        return self.cells[
            (rows * shrink + middle) // self.cell_px, (columns * shrink + middle) // self.cell_px
        ]


def cut_patch(
    photo: Photo, spike: Spike, *, px_per_mm: float, tile_length_mm: float
) -> SpikePatch | None:
    """Cut the spike out of a photo.

    Parameters
    ----------
    photo, spike
        The photo and the spike in it.
    px_per_mm
        Scale.
    tile_length_mm
        Length of a tile along the axis, mm.

    Returns
    -------
    SpikePatch or None
        None when hardly anything of the outline lies inside the frame.
    """
    margin_px = px_per_mm
    low = np.maximum(np.floor(spike.outline.min(axis=0) - margin_px), 0).astype(int)
    high = np.minimum(
        np.ceil(spike.outline.max(axis=0) + margin_px), (photo.height, photo.width)
    ).astype(int)
    if (high - low).min() < _LEAST_SIDE_PX:
        return None
    size = high - low
    cell_px = int(np.clip(round(_CELL_MM * px_per_mm), *_cell_limits(size)))
    pairs = int(np.clip(round(spike.length_px / (tile_length_mm * px_per_mm)), 1, _MOST_PAIRS))
    shape = -(-size // cell_px)
    return SpikePatch(
        pixels=photo.pixels[low[0] : high[0], low[1] : high[1]],
        outline=spike.outline - low,
        px_per_mm=px_per_mm,
        cell_px=cell_px,
        cells=_cell_tiles(spike.axis - low, (int(shape[0]), int(shape[1])), cell_px, pairs),
        tile_count=_SIDES * pairs,
    )


def _cell_limits(size: NDArray[np.int_]) -> tuple[int, int]:
    """Return the least and the largest side of a cell, px, that a wrong scale may lead to."""
    return max(1, int(size.max()) // _MOST_CELLS), int(size.min()) // _LEAST_CELLS


def _cell_tiles(
    axis: NDArray[np.float64], shape: tuple[int, int], cell_px: int, pairs: int
) -> NDArray[np.int32]:
    """Return the tile of each cell: its nearest point on the axis, and the side it lies on."""
    rows, columns = np.indices(shape)
    centres = np.stack([rows.ravel(), columns.ravel()], axis=1) * cell_px + (cell_px - 1) / 2
    steps = np.diff(axis, axis=0)
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    starts = np.concatenate([[0.0], np.cumsum(lengths)])
    nearest = np.full(len(centres), np.inf)
    along = np.zeros(len(centres))
    right = np.zeros(len(centres), np.int32)
    for point, step, length, start in zip(axis, steps, lengths, starts, strict=False):
        if length < _LEAST_STEP_PX:
            continue
        away = centres - point
        share = np.clip(away @ step / length**2, 0, 1)
        off = away - share[:, np.newaxis] * step
        distance = np.einsum("ij,ij->i", off, off)
        closer = distance < nearest
        nearest[closer] = distance[closer]
        along[closer] = start + share[closer] * length
        cross = step[0] * away[closer, 1] - step[1] * away[closer, 0]
        right[closer] = cross < 0
    whole = max(float(starts[-1]), 1.0)
    pair = np.minimum((along / whole * pairs).astype(np.int32), pairs - 1)
    return (_SIDES * pair + right).reshape(shape)
