"""Where the camera stands: a pinhole at a phone's close-up distance, the spike turned before it.

World: millimetres, x to the right, y away from the camera, z up. The camera stands on the -y side
and looks along +y; the plane y = 0 goes through the spike's axis. The plant is turned, the camera
and the light stay.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

# Own choices: a phone's close-up distance, hand-held, at the network's working scale of 20 px/mm.
DISTANCE_MM = (120.0, 350.0)
TILT_DEG = 12.0
ROLL_DEG = 8.0
SPIN_DEG = 20.0  # a prepared spike is turned to the camera
WHOLE_SPIN_DEG = 45.0  # others stand as they grew
PX_PER_MM = (18.0, 24.0)


@dataclass(frozen=True, slots=True)
class View:
    """A camera and the size of its picture.

    Parameters
    ----------
    distance_mm
        From the pinhole to the plane y = 0.
    centre_mm
        x and z of the point of that plane in the middle of the picture.
    px_per_mm
        Scale in that plane.
    height_px, width_px
        Size of the picture.
    """

    distance_mm: float
    centre_mm: tuple[float, float]
    px_per_mm: float
    height_px: int
    width_px: int

    @property
    def origin_mm(self) -> tuple[float, float, float]:
        """The pinhole."""
        return self.centre_mm[0], -self.distance_mm, self.centre_mm[1]

    def project(self, points_mm: NDArray[np.floating]) -> NDArray[np.float64]:
        """Return where points show.

        Parameters
        ----------
        points_mm
            World points, (N, 3), in front of the camera.

        Returns
        -------
        ndarray of shape (N, 2)
            Row and column, px; whole numbers are pixel centres.
        """
        points = np.asarray(points_mm, dtype=np.float64)
        scale = self.px_per_mm * self.distance_mm / (points[:, 1] + self.distance_mm)
        row = (self.height_px - 1) / 2 - (points[:, 2] - self.centre_mm[1]) * scale
        column = (self.width_px - 1) / 2 + (points[:, 0] - self.centre_mm[0]) * scale
        return np.stack([row, column], axis=1)

    def rays(self, rows: NDArray[np.int64], columns: NDArray[np.int64]) -> NDArray[np.float32]:
        """Return the direction from the pinhole through pixels' centres, (N, 3).

        Its y component is 1, so a hit at distance t along it lies t mm from the pinhole's plane.
        """
        unit = self.px_per_mm * self.distance_mm
        x = (columns - (self.width_px - 1) / 2) / unit
        z = -(rows - (self.height_px - 1) / 2) / unit
        return np.stack([x, np.ones(len(x)), z], axis=-1).astype(np.float32)


def draw_turn(rng: np.random.Generator, *, spin_deg: float = SPIN_DEG) -> NDArray[np.float64]:
    """Draw how the spike is turned before the camera: a rotation matrix, (3, 3).

    Parameters
    ----------
    rng
        Chance.
    spin_deg
        How far it may be turned about its axis, to either side.
    """
    spin, tilt, roll = np.radians(
        [
            rng.uniform(-spin_deg, spin_deg),
            np.clip(rng.normal(0, TILT_DEG / 2), -TILT_DEG, TILT_DEG),
            np.clip(rng.normal(0, ROLL_DEG / 2), -ROLL_DEG, ROLL_DEG),
        ]
    )
    return _about(1, roll) @ _about(0, tilt) @ _about(2, spin)


def draw_view(
    box_mm: tuple[float, float, float, float],
    rng: np.random.Generator,
    *,
    long_side_px: int | None = None,
) -> View:
    """Draw a camera that shows a box of the plane y = 0.

    Parameters
    ----------
    box_mm
        Smallest x, smallest z, largest x, largest z of what is to be shown, mm.
    rng
        Where the chances come from.
    long_side_px
        Longest side of the picture; None lets the scale (18 to 24 px/mm) decide.
    """
    left, low, right, high = box_mm
    width_mm, height_mm = right - left, high - low
    px_per_mm = float(rng.uniform(*PX_PER_MM))
    if long_side_px is not None:
        px_per_mm = min(px_per_mm, long_side_px / max(width_mm, height_mm))
    return View(
        distance_mm=float(rng.uniform(*DISTANCE_MM)),
        centre_mm=((left + right) / 2, (low + high) / 2),
        px_per_mm=px_per_mm,
        height_px=max(8, int(height_mm * px_per_mm)),
        width_px=max(8, int(width_mm * px_per_mm)),
    )


def _about(axis: int, angle: float) -> NDArray[np.float64]:
    """Rotation matrix about a coordinate axis by an angle in radians."""
    c, s = np.cos(angle), np.sin(angle)
    i, j = [k for k in range(3) if k != axis]
    turn = np.eye(3)
    turn[i, i] = turn[j, j] = c
    turn[i, j], turn[j, i] = -s, s
    return turn
