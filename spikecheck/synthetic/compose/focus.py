"""Depth of field: what lies off the plane in focus is blurred, the more the farther."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.compose.paint import blurred

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.compose.laid import Laid

_LEVELS = 3
_UNSEEN_PX = 0.5  # a blur that nobody sees


@dataclass(frozen=True, slots=True)
class Focus:
    """Where a lens is focused and how fast things blur away from there.

    Parameters
    ----------
    depth_mm
        Height over the plane of the axis that is sharp, mm.
    blur_per_mm
        Blur (standard deviation) for each millimetre of distance from there, mm per mm.
    most_mm
        Largest blur, mm.
    """

    depth_mm: float
    blur_per_mm: float
    most_mm: float

    def blur_mm(self, depth_mm: Floats | float) -> Floats:
        """Return the blur at a depth, standard deviation in mm."""
        off = np.abs(np.asarray(depth_mm, np.float32) - np.float32(self.depth_mm))
        blur = np.minimum(off * np.float32(self.blur_per_mm), np.float32(self.most_mm))
        return np.asarray(blur, np.float32)


def blur_by_depth(laid: Laid, focus: Focus, px_per_mm: float) -> None:
    """Blur a laid layer by its depth; ``laid.light`` and ``laid.alpha`` change.

    Each pixel's light is spread by its own blur, taken as a mix of two of a few fixed ones, so
    that no light is lost.
    """
    sigma = focus.blur_mm(laid.depth_mm) * np.float32(px_per_mm)
    covered = laid.alpha > 0
    if not covered.any() or float(sigma[covered].max()) < _UNSEEN_PX:
        return
    rows, columns = np.flatnonzero(covered.any(1)), np.flatnonzero(covered.any(0))
    top = float(np.percentile(sigma[covered][::7], 99.5))
    pad = int(3 * top) + 2
    r0, r1 = max(rows[0] - pad, 0), rows[-1] + pad + 1
    c0, c1 = max(columns[0] - pad, 0), columns[-1] + pad + 1
    where = np.s_[r0:r1, c0:c1]
    both = np.dstack((laid.light[where], laid.alpha[where]))
    place = np.clip(sigma[where] / top, 0, 1) * (_LEVELS - 1)
    total = np.zeros_like(both)
    for level in range(_LEVELS):
        weight = np.clip(1 - np.abs(place - level), 0, 1)
        part = both * weight[..., None]
        blur = top * level / (_LEVELS - 1)
        total += blurred(part, blur)
    laid.light[where], laid.alpha[where] = total[..., :3], np.clip(total[..., 3], 0, 1)
