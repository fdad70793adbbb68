"""Paints scenes in sRGB bytes: tapered blades, blobs, streaks; light is computed afterwards."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeAlias

import cv2
import numpy as np

from spikecheck.synthetic.colour import linear
from spikecheck.synthetic.texture import layered

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.synthetic.arrays import Bytes, Floats

Rng = np.random.Generator
Colour: TypeAlias = "Sequence[float] | NDArray[np.floating[Any]]"  # sRGB, 0..255
_WIDE_PX = 2.0  # standard deviation that is left when a blur is computed on fewer pixels
_SUBPIXEL = 4  # bits behind the point in OpenCV's drawing coordinates
_LINEAR = np.asarray([linear((v, v, v))[0] for v in range(256)], np.float32)


def to_light(painted: Bytes) -> Floats:
    """Return linear RGB, float32, of sRGB bytes of shape (H, W, 3)."""
    return np.asarray(cv2.LUT(painted, _LINEAR), np.float32)


def plain(shape: tuple[int, int], srgb: Colour) -> Bytes:
    """Return a picture of one colour (sRGB, 0..255)."""
    painted = np.empty((*shape, 3), np.uint8)
    painted[:] = np.clip(np.asarray(srgb), 0, 255).astype(np.uint8)
    return painted


def varied(rng: Rng, srgb: Colour, spread: float) -> NDArray[np.float64]:
    """Return an sRGB colour varied in brightness and, by a third as much, in each channel."""
    moved = np.asarray(srgb, float) + rng.normal(0, spread) + rng.normal(0, spread / 3, 3)
    return np.clip(moved, 2, 253)


def pick(rng: Rng, colours: Sequence[tuple[int, int, int]]) -> tuple[int, int, int]:
    """Return one of the colours."""
    return colours[int(rng.integers(len(colours)))]


def polygon(painted: Bytes, xy: Floats, srgb: Colour) -> None:
    """Fill a polygon of (x, y) points, smoothed at its edge."""
    points = np.round(np.asarray(xy) * (1 << _SUBPIXEL)).astype(np.int32)
    cv2.fillPoly(painted, [points], [float(v) for v in srgb], cv2.LINE_AA, _SUBPIXEL)


def stroke(painted: Bytes, xy: Floats, srgb: Colour, thick_px: float) -> None:
    """Draw a line through (x, y) points."""
    points = np.round(np.asarray(xy) * (1 << _SUBPIXEL)).astype(np.int32)
    cv2.polylines(
        painted, [points], isClosed=False, color=[float(v) for v in srgb],
        thickness=max(1, round(thick_px)), lineType=cv2.LINE_AA, shift=_SUBPIXEL,
    )  # fmt: skip


def disc(painted: Bytes, xy: tuple[float, float], radius_px: float, srgb: Colour) -> None:
    """Fill a disc."""
    centre = (round(xy[0] * (1 << _SUBPIXEL)), round(xy[1] * (1 << _SUBPIXEL)))
    cv2.circle(painted, centre, max(1, round(radius_px * (1 << _SUBPIXEL))),
               [float(v) for v in srgb], -1, cv2.LINE_AA, _SUBPIXEL)  # fmt: skip


def ellipse_points(
    centre: tuple[float, float], half: tuple[float, float], angle: float, count: int = 20
) -> Floats:
    """Return (x, y) points of an ellipse with half axes along and across ``angle`` (radians)."""
    turn = np.linspace(0, 2 * np.pi, count, endpoint=False)
    along, across = half[0] * np.cos(turn), half[1] * np.sin(turn)
    x = centre[0] + along * np.cos(angle) - across * np.sin(angle)
    y = centre[1] + along * np.sin(angle) + across * np.cos(angle)
    return np.stack((x, y), 1).astype(np.float32)


def curve(
    start: tuple[float, float], angle: float, length: float, bend: float, count: int = 14
) -> Floats:
    """Return (x, y) points of an arc; ``bend`` is the turn over its whole length, radians."""
    step = length / (count - 1)
    turns = angle + bend * np.linspace(0, 1, count - 1) ** 1.5
    xy = np.zeros((count, 2), np.float32)
    xy[1:, 0], xy[1:, 1] = np.cumsum(np.cos(turns)) * step, np.cumsum(np.sin(turns)) * step
    return xy + np.asarray(start, np.float32)


def blade(painted: Bytes, rng: Rng, line: Floats, half_px: float, srgb: Colour) -> None:
    """Paint a grass blade along a line: two halves lit differently, midrib, pointed end.

    Parameters
    ----------
    painted
        Picture.
    rng
        Random stream.
    line
        float32 array of shape (N, 2): (x, y) from base to tip, px.
    half_px
        Half of its width, px.
    srgb
        Its colour.
    """
    steps = np.gradient(line, axis=0)
    steps /= np.maximum(np.hypot(steps[:, 0], steps[:, 1]), 1e-6)[:, None]
    across = np.stack((-steps[:, 1], steps[:, 0]), 1)
    u = np.linspace(0, 1, len(line))
    wide = (half_px * (0.55 + 0.45 * np.sin(np.pi * np.clip(u * 1.3, 0, 1)))
            * np.clip((1 - u) * 2.6, 0.02, 1) ** 0.7)  # fmt: skip
    base = np.asarray(srgb, float)
    tilt = rng.uniform(-0.22, 0.22)
    for k, (low, high) in enumerate(((-1.0, -0.05), (-0.05, 1.0))):
        shade = 1 + (tilt if k else -tilt)
        left, right = line + across * (wide * low)[:, None], line + across * (wide * high)[:, None]
        polygon(painted, np.concatenate((left, right[::-1])), np.clip(base * shade, 0, 255))
    if half_px > 2.5:  # noqa: PLR2004  (px: a narrower blade shows no veins)
        for offset in rng.uniform(-0.8, 0.8, int(min(6, half_px / 2))):
            vein = base * float(rng.uniform(0.88, 1.12))
            stroke(painted, line[:-1] + across[:-1] * (wide[:-1] * offset)[:, None], vein, 1)
        stroke(painted, line, np.clip(base * 1.2 + 12, 0, 255), max(1.0, half_px * 0.16))


def grown(coarse: Floats, shape: tuple[int, int]) -> Floats:
    """Return an array stretched smoothly to a height and width, never below 0."""
    large = cv2.resize(coarse, (shape[1], shape[0]), interpolation=cv2.INTER_CUBIC)
    return np.asarray(np.maximum(large, 0), np.float32)


def blurred(light: Floats, sigma_px: float) -> Floats:
    """Return light blurred; nothing changes below a tenth of a pixel.

    A wide blur is computed on fewer pixels: it leaves nothing fine that could be lost.
    """
    if sigma_px < 0.1:  # noqa: PLR2004  (px)
        return light
    shrink = int(sigma_px / _WIDE_PX)
    height, width = light.shape[:2]
    if shrink < 2 or min(height, width) < 8 * shrink:  # noqa: PLR2004
        return np.asarray(cv2.GaussianBlur(light, (0, 0), sigma_px), np.float32)
    small = cv2.resize(light, (width // shrink, height // shrink), interpolation=cv2.INTER_AREA)
    small = cv2.GaussianBlur(small, (0, 0), sigma_px / shrink)
    return np.asarray(cv2.resize(small, (width, height), interpolation=cv2.INTER_LINEAR))


def mottled(rng: Rng, light: Floats, cell_px: float, strength: float, octaves: int = 3) -> Floats:
    """Return light made uneven by smooth noise of a relative strength."""
    noise = layered(rng, light.shape, cell_px, octaves)
    return np.asarray(light * np.maximum(1 + strength * noise, 0.05)[..., None], np.float32)


def grain(rng: Rng, shape: tuple[int, int], strength: float, sigma_px: float = 0.7) -> Floats:
    """Return a factor near 1 for each pixel: fine grain of a surface."""
    noise = blurred(rng.standard_normal(shape, np.float32), sigma_px)
    return np.asarray(1 + noise * np.float32(strength), np.float32)
