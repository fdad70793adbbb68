"""Where in the frame the spike lies, how large and how turned; how large the frame is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.randomness import chance
from spikecheck.vocabulary import QualityProblem

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats

Rng = np.random.Generator

# Phones take 3:4 as a rule, some 9:16 or 2:3 (common practice).
_SIDES = (0.75, 0.75, 0.75, 0.5625, 0.667)
_LONG_PX = (1400, 2200)  # of a picture reduced to what is needed
_FILLED = (0.55, 0.95)  # share of the long side that the spike takes
_SCALE = (20.5, 31.0)  # px/mm of a picture that can be judged: the working scale and above
_SMALL = (4.0, 15.0)  # px/mm of one taken from too far away
_LARGEST_STRETCH = 1.35  # of a rendered layer: beyond, it has no detail left
_TILT_DEG = 25.0
_TURNED_SHARE = 0.15  # people turn their phones
_MARGIN_PX = 8.0
_OUT_SHARE = (0.08, 0.4)  # of the spike's length that leaves a cut-off picture


@dataclass(frozen=True, slots=True, eq=False)
class Placement:
    """A similarity that takes a layer's (x, y), px, to the photo's, and the photo's size.

    Parameters
    ----------
    matrix
        float64 array of shape (2, 3).
    shape
        Height and width of the photo, px.
    stretch
        Photo pixels per layer pixel.
    """

    matrix: Floats
    shape: tuple[int, int]
    stretch: float

    def moved(self, xy: Floats) -> Floats:
        """Return (N, 2) layer points (x, y) as points of the photo."""
        return np.asarray(xy, float) @ self.matrix[:, :2].T + self.matrix[:, 2]


def draw_placement(
    rng: Rng,
    spike_xy: Floats,
    axis_xy: Floats,
    px_per_mm: float,
    problem: QualityProblem | None,
) -> Placement:
    """Return a placement at random.

    Parameters
    ----------
    rng
        Random stream.
    spike_xy
        Points around the spike without stem and awns, (N, 2) of x, y, px of the layer.
    axis_xy
        Its axis from base to tip, (M, 2), px of the layer.
    px_per_mm
        Scale of the layer.
    problem
        What is wrong with the picture, or None.
    """
    angle = _draw_angle(rng)
    scale = float(rng.uniform(*_SCALE))
    filled = float(rng.uniform(*_FILLED))
    way = (axis_xy[-1] - axis_xy[0]) / np.hypot(*(axis_xy[-1] - axis_xy[0]))
    length_px = float(np.ptp(spike_xy @ way))
    if problem is QualityProblem.TOO_SMALL:
        scale = float(rng.uniform(*_SMALL))
        filled = float(rng.uniform(0.12, 0.5))
    else:
        # A long spike is photographed from farther away, so that the frame need not grow.
        most = (_LONG_PX[1] - 2 * _MARGIN_PX) / (length_px / px_per_mm)
        scale = max(min(scale, most), _SCALE[0])
    stretch = min(scale / px_per_mm, _LARGEST_STRETCH)
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]]) * stretch
    turned, ends = spike_xy @ turn.T, (axis_xy @ turn.T)[[0, -1]]
    low, high = turned.min(0), turned.max(0)
    size = high - low
    shape = _draw_shape(rng, size, length_px * stretch / filled)
    room = np.maximum(np.array([shape[1], shape[0]]) - size - 2 * _MARGIN_PX, 0)
    corner = _MARGIN_PX + room * np.clip(rng.normal(0.5, 0.17, 2), 0, 1)
    shift = corner - low
    if problem is QualityProblem.CUT_OFF:
        shift += _pushed_out(rng, low + shift, high + shift, ends + shift, shape)
    return Placement(np.column_stack((turn, shift)), shape, stretch)


def _draw_angle(rng: Rng) -> float:
    """Return the turn of the layer, radians clockwise in the picture."""
    tilt = float(np.clip(rng.normal(0, 11), -_TILT_DEG, _TILT_DEG))
    if not chance(rng, _TURNED_SHARE):
        return float(np.radians(tilt))
    if chance(rng, 0.6):
        return float(np.radians(rng.choice((90, 180, 270)) + tilt))
    return float(rng.uniform(0, 2 * np.pi))


def _draw_shape(rng: Rng, size: Floats, long_px: float) -> tuple[int, int]:
    """Return height and width of a frame that holds ``size`` (width, height)."""
    side = float(rng.choice(_SIDES))
    need_long, need_short = float(size.max()), float(size.min())
    lying = bool(size[0] > size[1])
    long = max(min(max(long_px, _LONG_PX[0]), _LONG_PX[1]), (need_long + 2 * _MARGIN_PX) * 1.01)
    short = max(long * side, (need_short + 2 * _MARGIN_PX) * 1.01)
    # Now and then the frame stands across the spike, where it is wide enough.
    across = chance(rng, 0.12) and short > need_long + 4 * _MARGIN_PX
    wide = lying != across
    whole_long, whole_short = round(max(long, short)), round(min(long, short))
    return (whole_short, whole_long) if wide else (whole_long, whole_short)


def _pushed_out(
    rng: Rng, low: Floats, high: Floats, ends: Floats, shape: tuple[int, int]
) -> Floats:
    """Return a move that puts the base or the tip out of the frame."""
    way = ends[1] - ends[0]
    length = float(np.hypot(*way))
    way = way / length * (1 if chance(rng, 0.6) else -1)
    frame = np.array([shape[1], shape[0]], float)
    # Room that is left in the direction in which the spike is pushed.
    room = np.where(way > 0, frame - high, low)
    axis = int(np.argmax(np.abs(way)))
    out = room[axis] + float(rng.uniform(*_OUT_SHARE)) * length * abs(float(way[axis]))
    move = np.zeros(2)
    move[axis] = np.sign(way[axis]) * out
    return move
