"""Small things that are no anther but look a little like one: bits of leaf, scraps, dust, drops.

Sizes: an anther is 2-4 x 0.6-1 mm, pollen 0.04-0.06 mm, an aphid 1.5-2.5 mm (from memory).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.synthetic.compose import paint
from spikecheck.synthetic.compose.classes import OVER, STUCK_ON
from spikecheck.synthetic.compose.picture import Picture, Spot, Sticker, stick
from spikecheck.synthetic.compose.print_marks import words, write
from spikecheck.synthetic.compose.things import sticker_of
from spikecheck.synthetic.texture import layered

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Bytes
    from spikecheck.synthetic.compose.ambience import Ambience

Rng = np.random.Generator
_PPM = 40.0
# Bits of leaf and hull are longer than anthers, or greener and browner: what only its truth tells
# from an anther would teach nothing.
_LEAVES = ((120, 142, 76), (146, 160, 92), (176, 168, 112), (160, 138, 90), (134, 104, 66))
_PAPERY = ((226, 218, 190), (206, 200, 160), (190, 176, 130), (214, 214, 200))
_DUSTS = ((226, 200, 96), (238, 222, 150), (112, 92, 72), (210, 206, 196))
_APHIDS = ((126, 152, 84), (60, 56, 50), (150, 168, 100), (140, 96, 84))


def strew_lookalikes(
    rng: Rng, picture: Picture, ambience: Ambience, *, between: tuple[int, int]
) -> None:
    """Put small things on the spike and, some, beside it: from so many to fewer than so many."""
    rows, columns = np.nonzero(picture.owner[::4, ::4])
    if rows.size == 0:
        return
    for _ in range(int(rng.integers(*between))):
        pick = int(rng.integers(rows.size))
        at = np.array([columns[pick], rows[pick]]) * 4.0 + rng.normal(0, 1.0, 2) * picture.px_per_mm
        sticker, owner = _KINDS[int(rng.integers(len(_KINDS)))](rng, ambience)
        spot = Spot((float(at[0]), float(at[1])), float(rng.uniform(0, 2 * np.pi)))
        lit = _level(picture, spot.at)
        piece = Sticker(sticker.light * np.float32(lit), sticker.alpha, sticker.px_per_mm)
        shade = None if owner is None else ambience.shadow(0.5, 0.4)
        stick(picture, piece, spot, owner, shade=shade)


def _level(picture: Picture, at: tuple[float, float]) -> float:
    """Return how bright it is around a place, 1 where the light of the spike's mean falls."""
    reach = round(1.5 * picture.px_per_mm)
    column, row = round(at[0]), round(at[1])
    around = picture.light[
        max(row - reach, 0) : row + reach, max(column - reach, 0) : column + reach
    ]
    return float(np.clip(around.mean() / 0.2, 0.35, 1.5)) if around.size else 1.0


def _blank(wide_mm: float, high_mm: float) -> tuple[Bytes, Bytes]:
    size = (max(4, round(high_mm * _PPM)), max(4, round(wide_mm * _PPM)))
    return np.zeros((*size, 3), np.uint8), np.zeros(size, np.uint8)


def _ragged(rng: Rng, size: tuple[int, ...], corners: int) -> np.ndarray:
    """Return an irregular polygon that nearly fills a rectangle."""
    points = paint.ellipse_points(
        (size[1] / 2, size[0] / 2), (size[1] * 0.4, size[0] * 0.4), 0.0, corners
    )
    return np.asarray(points + rng.normal(0, 0.06, points.shape) * (size[1], size[0]), np.float32)


def _cut_out(rng: Rng, mask: Bytes, corners: int, solid: float) -> None:
    """Fill the mask of a piece whose corners are a little rounded."""
    points = np.round(_ragged(rng, mask.shape, corners)).astype(np.int32)
    cv2.fillPoly(mask, [points], solid, cv2.LINE_AA)
    mask[:] = cv2.GaussianBlur(mask, (0, 0), float(rng.uniform(0.8, 3.0)))


def _veined(rng: Rng, painted: Bytes, srgb: paint.Colour, count: int) -> None:
    """Draw veins along a piece, a little lighter or darker than it."""
    height, width = painted.shape[:2]
    for row in np.linspace(0.05, 0.95, count) * height:
        line = np.array([[0, row], [width, row + rng.normal(0, 3)]], np.float32)
        shade = np.clip(np.asarray(srgb) * float(rng.uniform(0.92, 1.05)), 0, 255)
        paint.stroke(painted, line, shade, rng.uniform(1, 2))


def _curled(rng: Rng, sticker: Sticker) -> Sticker:
    """Return a piece lit as if it were bent: brighter on one side, mottled."""
    height, width = sticker.alpha.shape
    y = np.linspace(-1, 1, height, dtype=np.float32)[:, None]
    x = np.linspace(-1, 1, width, dtype=np.float32)[None, :]
    # A rolled bit: one flank turns away from the light, a fold runs askew along it.
    fold = y + float(rng.normal(0, 0.4)) * x + float(rng.normal(0, 0.3))
    lit = 0.9 + float(rng.normal(0, 0.35)) * np.tanh(2.5 * fold) + float(rng.normal(0, 0.2)) * x
    lit = lit - float(rng.uniform(0.1, 0.45)) * y * y
    lit = lit * (1 + 0.16 * layered(rng, (height, width), 0.5 * _PPM, 3))
    return Sticker(
        sticker.light * np.clip(lit, 0.15, 1.6).astype(np.float32)[..., None], sticker.alpha, _PPM
    )


def _leaf_bit(rng: Rng, ambience: Ambience) -> tuple[Sticker, int | None]:
    """Return a bit of leaf or hull with veins and cut ends."""
    painted, mask = _blank(float(rng.uniform(3.2, 9.0)), float(rng.uniform(0.5, 1.8)))
    colour = paint.varied(rng, paint.pick(rng, _LEAVES), 14)
    painted[:] = colour
    _veined(rng, painted, colour, int(rng.integers(3, 9)))
    _cut_out(rng, mask, int(rng.integers(6, 14)), 255)
    return _curled(rng, sticker_of(painted, mask, ambience, _PPM)), OVER


def _scrap(rng: Rng, ambience: Ambience) -> tuple[Sticker, int | None]:
    """Return a papery scrap of lemma, thin enough to look through."""
    painted, mask = _blank(float(rng.uniform(1.5, 5.0)), float(rng.uniform(1.1, 2.6)))
    colour = paint.varied(rng, paint.pick(rng, _PAPERY), 12)
    painted[:] = colour
    _veined(rng, painted, colour, int(rng.integers(2, 6)))
    _cut_out(rng, mask, int(rng.integers(7, 16)), float(rng.uniform(60, 160)))
    return _curled(rng, sticker_of(painted, mask, ambience, _PPM)), STUCK_ON


def _dust(rng: Rng, ambience: Ambience) -> tuple[Sticker, int | None]:
    """Return a cloud of pollen or soil dust; single grains hide nothing."""
    side = float(rng.uniform(1.0, 5.0))
    painted, mask = _blank(side, side)
    painted[:] = paint.varied(rng, paint.pick(rng, _DUSTS), 12)
    for _ in range(int(rng.integers(8, 160))):
        place = np.clip(rng.normal(0.5, 0.18, 2), 0, 1) * (mask.shape[1], mask.shape[0])
        radius = rng.uniform(0.018, 0.045) * _PPM
        cv2.circle(mask, (round(place[0] * 16), round(place[1] * 16)), round(radius * 16), 235, -1,
                   cv2.LINE_AA, 4)  # fmt: skip
    return sticker_of(painted, mask, ambience, _PPM), None


def _drop(rng: Rng, ambience: Ambience) -> tuple[Sticker, int | None]:
    """Return a drop of water: darker at the top, bright at the bottom, a highlight."""
    side = float(rng.uniform(0.4, 2.2))
    size = round(side * _PPM) + 4
    y, x = np.mgrid[-1 : 1 : size * 1j, -1 : 1 : size * 1j].astype(np.float32)
    radius = np.sqrt(x * x + (y * float(rng.uniform(0.85, 1.2))) ** 2)
    inside = np.clip((0.94 - radius) * size / 3, 0, 1)
    rim = np.exp(-(((radius - 0.86) / 0.1) ** 2))
    glow = np.clip(0.5 + 0.5 * y, 0, 1) ** 2 * 0.3
    spot = np.exp(-((x - 0.35) ** 2 + (y + 0.42) ** 2) / 0.012) * float(rng.uniform(1, 3))
    alpha = inside * (0.22 + 0.35 * rim * (y < 0))
    light = (glow * inside + spot * inside)[..., None] * np.asarray(ambience.tint, np.float32)
    cover = np.clip(alpha + 0.8 * np.clip(spot, 0, 1) * inside, 0, 1).astype(np.float32)
    return Sticker(light.astype(np.float32), cover, _PPM), None


def _aphid(rng: Rng, ambience: Ambience) -> tuple[Sticker, int | None]:
    """Return an aphid: a plump body with legs."""
    long = float(rng.uniform(1.2, 2.6))
    painted, mask = _blank(long * 1.5, long * 1.2)
    colour = paint.varied(rng, paint.pick(rng, _APHIDS), 12)
    painted[:] = colour
    middle = (mask.shape[1] / 2, mask.shape[0] / 2)
    for leg in range(6):
        side = -1 if leg % 2 else 1
        start = (middle[0] + (leg // 2 - 1) * long * 0.16 * _PPM, middle[1])
        line = paint.curve(
            start, side * 1.57 + rng.normal(0, 0.4), long * 0.5 * _PPM, rng.normal(0, 0.8), 5
        )
        cv2.polylines(mask, [np.round(line).astype(np.int32)], isClosed=False, color=200,
                      thickness=2, lineType=cv2.LINE_AA)  # fmt: skip
    half = (long * 0.46 * _PPM, long * float(rng.uniform(0.2, 0.28)) * _PPM)
    body = np.round(paint.ellipse_points(middle, half, 0.0)).astype(np.int32)
    cv2.fillPoly(mask, [body], 255, cv2.LINE_AA)
    top = paint.ellipse_points(
        (middle[0], middle[1] - half[1] * 0.3), (half[0] * 0.6, half[1] * 0.35), 0.0
    )
    paint.polygon(painted, top, np.clip(np.asarray(colour) * 1.35 + 10, 0, 255))
    return sticker_of(painted, mask, ambience, _PPM), OVER


def _printed(rng: Rng, ambience: Ambience) -> tuple[Sticker, int | None]:
    """Return a scrap of printed paper."""
    painted, mask = _blank(float(rng.uniform(1.5, 5.0)), float(rng.uniform(1.0, 3.0)))
    painted[:] = paint.varied(rng, (236, 232, 220), 10)
    ink = paint.varied(rng, (60, 60, 66), 20)
    size = mask.shape[0] * 0.5
    write(rng, painted, (4, size * 1.4), height_px=size, ink=ink, line=words(rng, 2, 8))
    _cut_out(rng, mask, int(rng.integers(4, 6)), 255)
    return sticker_of(painted, mask, ambience, _PPM), OVER


_KINDS = (_leaf_bit, _leaf_bit, _leaf_bit, _scrap, _scrap, _dust, _dust, _drop, _drop, _drop,
          _aphid, _aphid, _printed)  # fmt: skip
