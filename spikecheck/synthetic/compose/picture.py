"""The photo while it is put together: light and who owns each pixel."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.synthetic.compose.paint import blurred
from spikecheck.synthetic.compose.warping import warped

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.synthetic.arrays import Floats

_OWNS = 0.5  # a thing owns the pixels it covers more than half of


@dataclass(slots=True, eq=False)
class Picture:
    """A photo while it is put together.

    Parameters
    ----------
    light
        float32 (H, W, 3): linear RGB.
    owner
        uint16 (H, W): organ of the spike, or a code of :mod:`.classes`; 0 background.
    px_per_mm
        Scale.
    """

    light: Floats
    owner: NDArray[np.uint16]
    px_per_mm: float

    @property
    def shape(self) -> tuple[int, int]:
        """Height and width, px."""
        height, width = self.owner.shape
        return height, width


@dataclass(frozen=True, slots=True, eq=False)
class Sticker:
    """A thing to be laid over a photo.

    Parameters
    ----------
    light
        float32 (H, W, 3): linear RGB, multiplied by the coverage.
    alpha
        float32 (H, W): coverage, 0..1.
    px_per_mm
        Its scale.
    """

    light: Floats
    alpha: Floats
    px_per_mm: float


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a sticker goes: its point ``anchor`` (x, y share of its size) to ``at`` (x, y px).

    Parameters
    ----------
    at
        Place in the photo, (x, y) px.
    angle
        Turn, radians clockwise.
    anchor
        Point of the sticker that goes there, shares of its width and height.
    flipped
        Whether it is mirrored.
    """

    at: tuple[float, float]
    angle: float
    anchor: tuple[float, float] = (0.5, 0.5)
    flipped: bool = False


@dataclass(frozen=True, slots=True)
class Shade:
    """The shadow that a thing casts on what is behind it.

    Parameters
    ----------
    strength
        0..1.
    dx_mm, dy_mm
        How far it falls to the right and down, mm.
    soft_mm
        How soft its edge is, mm.
    """

    strength: float
    dx_mm: float
    dy_mm: float
    soft_mm: float


def stick(
    picture: Picture,
    sticker: Sticker,
    spot: Spot,
    owner: int | None,
    *,
    blur_px: float = 0.0,
    shade: Shade | None = None,
) -> None:
    """Lay a sticker over a photo.

    Parameters
    ----------
    picture
        The photo; changed.
    sticker, spot
        What, and where.
    owner
        Code of the pixels it covers; None leaves them to who owned them.
    blur_px
        How far out of focus it is, standard deviation, px.
    shade
        Its shadow, or None.
    """
    matrix = _matrix(picture, sticker, spot)
    height, width = sticker.alpha.shape
    corners = np.array([[0, 0], [width, 0], [0, height], [width, height]], float)
    there = corners @ matrix[:, :2].T + matrix[:, 2]
    reach = 3 * blur_px + 2
    if shade is not None:
        reach += (max(abs(shade.dx_mm), abs(shade.dy_mm)) + 3 * shade.soft_mm) * picture.px_per_mm
    rows, columns = picture.shape
    x0, y0 = np.floor(there.min(0) - reach).astype(int)
    x1, y1 = np.ceil(there.max(0) + reach).astype(int) + 1
    x0, y0, x1, y1 = max(x0, 0), max(y0, 0), min(x1, columns), min(y1, rows)
    if x0 >= x1 or y0 >= y1:
        return
    matrix[:, 2] -= (x0, y0)
    both = np.dstack((sticker.light, sticker.alpha))
    shrink = picture.px_per_mm / sticker.px_per_mm
    size = (int(y1 - y0), int(x1 - x0))
    laid = warped(both, matrix, size, stretch=shrink, border=cv2.BORDER_CONSTANT)
    laid = blurred(laid, blur_px)
    alpha = laid[..., 3]
    here = picture.light[y0:y1, x0:x1]
    if shade is not None:
        here *= (1 - shade.strength * _shadow(alpha, shade, picture.px_per_mm))[..., None]
    here *= (1 - alpha)[..., None]
    here += laid[..., :3]
    if owner is not None:
        picture.owner[y0:y1, x0:x1][alpha > _OWNS] = owner


def _shadow(alpha: Floats, shade: Shade, px_per_mm: float) -> Floats:
    move = np.array([[1, 0, shade.dx_mm * px_per_mm], [0, 1, shade.dy_mm * px_per_mm]], np.float64)
    size = (alpha.shape[0], alpha.shape[1])
    moved = warped(alpha, move, size, stretch=1.0, border=cv2.BORDER_CONSTANT)
    return blurred(moved, max(0.6, shade.soft_mm * px_per_mm))


def _matrix(picture: Picture, sticker: Sticker, spot: Spot) -> Floats:
    scale = picture.px_per_mm / sticker.px_per_mm
    cos, sin = np.cos(spot.angle) * scale, np.sin(spot.angle) * scale
    turn = np.array([[cos, -sin], [sin, cos]])
    if spot.flipped:
        turn[:, 0] *= -1
    height, width = sticker.alpha.shape
    anchor = np.array([spot.anchor[0] * width, spot.anchor[1] * height])
    return np.column_stack((turn, np.asarray(spot.at, float) - turn @ anchor))
