"""Runs a network over a long strip in overlapping tiles, so that memory stays bounded."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.networks.preprocess import CELL_PX, STRIP_MULTIPLE_PX, strip_tensor

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from spikecheck.networks.load import Network


def run_in_tiles(
    network: Network, pixels: NDArray[np.uint8], *, most_rows: int, overlap_rows: int
) -> dict[str, NDArray[np.float32]]:
    """Run ``network`` on a strip, whole when it is short enough.

    Parameters
    ----------
    network
        Gives ``maps`` of a quarter of the input's rows and columns, and one row of values each for
        its other outputs.
    pixels
        uint8 of shape (rows, columns, 3), both multiples of 32.
    most_rows
        Rows of the largest tile, a multiple of 32.
    overlap_rows
        Rows that neighbouring tiles share, at least; each tile's half of them is dropped, because
        a network sees less there.

    Returns
    -------
    dict
        ``maps``, float32 of shape (channels, rows / 4, columns / 4); of the other outputs the
        largest value over the tiles.
    """
    joined: dict[str, NDArray[np.float32]] = {}
    parts = []
    for first, last, keep_from, keep_to in _tiles(
        pixels.shape[0], most_rows=most_rows, overlap_rows=overlap_rows
    ):
        given = network.run(strip_tensor(pixels[first:last]))
        maps = given.pop("maps")[0]
        parts.append(maps[:, (keep_from - first) // CELL_PX : (keep_to - first) // CELL_PX])
        for name, value in given.items():
            joined[name] = np.maximum(joined[name], value) if name in joined else value
    joined["maps"] = parts[0] if len(parts) == 1 else np.concatenate(parts, axis=1)
    return joined


def _tiles(rows: int, *, most_rows: int, overlap_rows: int) -> Iterator[tuple[int, int, int, int]]:
    """Yield first and last row of every tile and of what is kept of it, half open."""
    count = 1
    if rows > most_rows:
        count += -(-(rows - most_rows) // (most_rows - overlap_rows))
    blocks = rows // STRIP_MULTIPLE_PX
    tile = min(rows, most_rows)
    starts = [
        round(i * (blocks - tile // STRIP_MULTIPLE_PX) / max(count - 1, 1)) * STRIP_MULTIPLE_PX
        for i in range(count)
    ]
    kept = 0
    for number, first in enumerate(starts):
        last = first + tile
        end = rows
        if number + 1 < count:  # half way through the overlap, at a whole cell
            end = (starts[number + 1] + last) // 2 // CELL_PX * CELL_PX
        yield first, last, kept, end
        kept = end
