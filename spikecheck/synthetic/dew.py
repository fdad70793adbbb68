"""Water drops on the outside of a spike: bright specks that are no anthers."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.frame import Pose, patch_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.synthetic.brush import Brush


def draw_dew(brush: Brush, where: NDArray[np.bool_]) -> None:
    """Draw a few drops.

    Parameters
    ----------
    brush
        Where to draw.
    where
        bool array of shape (H, W): pixels a drop may sit on.
    """
    rows, columns = np.nonzero(where)
    if rows.size == 0:
        return
    for _ in range(int(brush.rng.integers(3, 14))):
        pick = int(brush.rng.integers(rows.size))
        _draw_drop(brush, float(rows[pick]), float(columns[pick]))


def _draw_drop(brush: Brush, row: float, column: float) -> None:
    """Draw one drop: it gathers the light opposite to where it comes from."""
    rng, canvas = brush.rng, brush.canvas
    half = float(rng.uniform(0.15, 0.5))
    patch = patch_of(Pose(row, column, float(rng.normal(0, 0.4))), t_mm=(-half * 1.3, half * 1.3),
                     half_mm=half * 1.1, px_per_mm=brush.px_per_mm)  # fmt: skip
    radius = np.sqrt((patch.s / half) ** 2 + (patch.t / (half * 1.15)) ** 2)
    cover = patch.cover((1 - radius) * half)
    lx, ly, _ = canvas.light.direction
    x, y = patch.turned(patch.s / half, patch.t / half)
    height, width = canvas.alpha.shape
    under = canvas.rgb[min(max(round(row), 0), height - 1), min(max(round(column), 0), width - 1)]
    lens = np.clip(0.75 - 0.55 * (x * lx + y * ly), 0.2, 1.6)
    key = np.asarray(canvas.light.key, np.float32)
    glint = np.exp(-(((x - 0.45 * lx) ** 2 + (y - 0.45 * ly) ** 2) / 0.02))
    rgb = under * lens[..., None] + key * (1.3 * glint)[..., None]
    canvas.stamp(patch, cover, rgb, decoration=True, shadow=0.3, reach_mm=0.15)
