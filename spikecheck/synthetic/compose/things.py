"""Things that may lie over or beside a spike, drawn as stickers: finger, leaf, forceps, tag."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.synthetic.colour import linear
from spikecheck.synthetic.compose import paint
from spikecheck.synthetic.compose.backgrounds.hand import GLOVES, SKINS
from spikecheck.synthetic.compose.backgrounds.plants import GREENS, STRAWS
from spikecheck.synthetic.compose.picture import Sticker
from spikecheck.synthetic.compose.print_marks import words, write
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.texture import layered

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Bytes, Floats
    from spikecheck.synthetic.compose.ambience import Ambience

Rng = np.random.Generator
_PPM = 12.0  # px/mm of these stickers: smooth things need no more
_PAPERS = ((236, 234, 226), (240, 224, 150), (226, 202, 166), (244, 244, 244), (190, 214, 232),
           (236, 180, 176))  # fmt: skip


def finger(rng: Rng, ambience: Ambience) -> Sticker:
    """Return a finger, bare or gloved, that points to the right; its tip is the right end."""
    half, long = float(rng.uniform(6.5, 9.5)), float(rng.uniform(70, 120))
    gloved = chance(rng, 0.4)
    size = (round((2.4 * half) * _PPM), round(long * _PPM))
    s = ((np.arange(size[0], dtype=np.float32) + 0.5) / _PPM - 1.2 * half)[:, None]
    t = ((np.arange(size[1], dtype=np.float32) + 0.5) / _PPM)[None, :]
    wide = half * (1 + 0.06 * np.sin(t / 9) + 0.002 * (long - t))
    beyond = np.maximum(t - (long - half - 0.3), 0)
    reach = np.sqrt(s**2 + beyond**2)
    alpha = np.clip((wide - reach) * _PPM + 0.5, 0, 1).astype(np.float32)
    v, end = s / wide, beyond / half
    height = np.sqrt(np.clip(1 - v**2 - end**2 * 0.9, 0, 1))
    lit = 0.42 + 0.58 * height + float(rng.normal(0, 0.22)) * v - 0.12 * end
    fine = layered(rng, size, 0.5 * _PPM, 2)
    light = np.empty((*size, 3), np.float32)
    light[:] = linear(paint.varied(rng, paint.pick(rng, GLOVES if gloved else SKINS), 8))
    if gloved:
        folds = layered(rng, size, 5 * _PPM, 3)
        lit = lit * (1 + 0.16 * folds)
        light += (0.05 * np.clip(folds, 0, None) ** 2 * height)[..., None]
    else:
        for crease in (half + 9, half + 10.5, half + 31, half + 33):
            at = long - crease - 0.4 * np.cos(v * 2)
            lit = lit * (1 - 0.26 * np.exp(-(((t - at) / 0.35) ** 2)))
        light *= 1 + (np.asarray((1.05, 0.82, 0.8), np.float32) - 1) * np.clip(
            1 - (long - t) / 14, 0, 1)[..., None]  # fmt: skip
        lit = lit * (1 + 0.045 * fine)
        if chance(rng, 0.5):
            _nail(light, t - (long - 6.0), s, half)
    return _finished(light * np.clip(lit, 0.05, 1.5)[..., None], alpha, ambience, _PPM)


def leaf(rng: Rng, ambience: Ambience) -> Sticker:
    """Return a leaf blade that runs from the left to the right end."""
    half, long = float(rng.uniform(2.5, 8.5)), float(rng.uniform(90, 170))
    size = (round((6 * half + 20) * _PPM), round(long * _PPM))
    colours = STRAWS if chance(rng, 0.2) else GREENS
    srgb = paint.varied(rng, paint.pick(rng, colours), 12)
    line = paint.curve((2.0, size[0] / 2), rng.normal(0, 0.08), size[1] - 6.0,
                       float(rng.normal(0, 0.35)), count=24)  # fmt: skip
    painted, state = paint.plain(size, srgb), rng.bit_generator.state
    paint.blade(painted, rng, line, half * _PPM, srgb)
    mask = paint.plain(size, (0, 0, 0))
    rng.bit_generator.state = state  # the same blade once more, as a mask
    paint.blade(mask, rng, line, half * _PPM, (255, 255, 255))
    alpha = (mask.max(2) > 60).astype(np.float32)  # noqa: PLR2004  (veins are a little darker)
    light = paint.mottled(rng, paint.to_light(painted), 12 * _PPM, 0.12, 3)
    return _finished(light, cv2.GaussianBlur(alpha, (0, 0), 0.8), ambience, _PPM)


def forceps(rng: Rng, ambience: Ambience) -> Sticker:
    """Return fine forceps that point to the right, their tips at the right end."""
    long, gap = float(rng.uniform(70, 110)), float(rng.uniform(0.2, 5.0))
    size = (round(26 * _PPM), round(long * _PPM))
    light, alpha = np.zeros((*size, 3), np.float32), np.zeros(size, np.float32)
    s = ((np.arange(size[0], dtype=np.float32) + 0.5) / _PPM - 13)[:, None]
    t = ((np.arange(size[1], dtype=np.float32) + 0.5) / _PPM)[None, :]
    back = (long - t) / long
    base = linear(paint.varied(rng, (168, 170, 172), 18))
    broad = layered(rng, (8, size[1]), 14 * _PPM, 2)[:1]
    for side in (-1, 1):
        middle = side * (gap / 2 + 5.5 * np.sqrt(back))
        wide = 0.25 + 3.4 * back**0.8
        v = (s - middle) / wide
        cover = np.clip((1 - np.abs(v)) * wide * _PPM, 0, 1)
        gleam = np.exp(-(((v - 0.3 * side) / 0.22) ** 2)) * (0.8 + 0.5 * broad)
        ridges = 0.12 * np.sin(t * 9) * ((back > 0.45) & (back < 0.75))  # noqa: PLR2004
        lit = 0.35 + 0.25 * v * side + 0.9 * gleam + ridges + 0.18 * broad
        shade = np.clip(lit, 0.04, 2.2)[..., None] * base
        light += (shade - light) * cover[..., None]
        alpha = np.maximum(alpha, cover)
    return _finished(light, alpha.astype(np.float32), ambience, _PPM)


def tag(rng: Rng, ambience: Ambience) -> Sticker:
    """Return a paper tag with a hole and lines of writing."""
    long, half = float(rng.uniform(22, 48)), float(rng.uniform(6, 13))
    size = (round(2 * half * _PPM), round(long * _PPM))
    painted = paint.plain(size, paint.varied(rng, paint.pick(rng, _PAPERS), 6))
    ink = paint.varied(rng, (44, 44, 56), 16)
    height = float(rng.uniform(1.6, 4.2)) * _PPM
    for row in np.arange(height * 1.4, size[0] - 6, height * 1.6):
        at = (rng.uniform(4, 8) * _PPM, float(row))
        write(rng, painted, at, height_px=height, ink=ink, line=words(rng, 2, 14))
    if chance(rng, 0.35):
        cells = rng.integers(0, 2, (11, 11)).astype(np.uint8) * 215 + 20
        side = round(min(2 * half - 3, 12) * _PPM)
        block = cv2.resize(cells, (side, side), interpolation=cv2.INTER_NEAREST)
        painted[12 : 12 + side, size[1] - side - 12 : size[1] - 12] = block[..., None]
    mask = np.full(size, 255, np.uint8)
    hole = (round(3.2 * _PPM), size[0] // 2)
    cv2.circle(mask, hole, round(1.4 * _PPM), 0, -1, cv2.LINE_AA)
    grainy = paint.to_light(painted) * paint.grain(rng, size, 0.03)[..., None]
    light = paint.mottled(rng, grainy, 15 * _PPM, 0.07, 2)
    return _finished(light, mask.astype(np.float32) / np.float32(255), ambience, _PPM)


def _nail(light: Floats, t: Floats, s: Floats, half: float) -> None:
    """Paint a nail on a finger's tip."""
    radius = (np.abs(s / (half * 0.62)) ** 2.6 + np.abs(t / 5.2) ** 2.6) ** (1 / 2.6)
    share = np.clip((1 - radius) * 8, 0, 1)[..., None]
    rim = np.exp(-(((radius - 1) / 0.05) ** 2))[..., None]
    shown = light * 0.6 + linear((236, 190, 178)) * 0.4
    light += (shown - light) * share
    light *= 1 - 0.3 * rim


def _finished(light: Floats, alpha: Floats, ambience: Ambience, ppm: float) -> Sticker:
    """Return a sticker in the light of the scene."""
    return Sticker(
        (ambience.on(light) * alpha[..., None]).astype(np.float32), alpha.astype(np.float32), ppm
    )


def sticker_of(painted: Bytes, mask: Bytes, ambience: Ambience, px_per_mm: float) -> Sticker:
    """Return a painted piece (sRGB bytes and a mask of 0..255) as a sticker."""
    alpha = mask.astype(np.float32) / np.float32(255)
    return _finished(paint.to_light(painted), alpha, ambience, px_per_mm)
