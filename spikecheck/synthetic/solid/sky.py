"""Pieces of a surrounding to paint light into: a sphere of directions seen from the spike."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.synthetic.arrays import Floats

HEIGHT, WIDTH = 512, 1024  # about a third of a degree a pixel: room for a sun with soft edges
_STEEP, _GRAZING = 0.9, 0.05  # cosines


@cache
def directions() -> Floats:
    """Return the world direction of each pixel of an equirectangular map, (H, W, 3).

    Rows go from straight up to straight down; the middle column looks at the camera (-y) and the
    first one away from it. World axes as in :mod:`spikecheck.synthetic.solid.view`.
    """
    theta = (np.arange(HEIGHT) + 0.5) * np.pi / HEIGHT
    phi = (np.arange(WIDTH) + 0.5) * 2 * np.pi / WIDTH
    flat = np.sin(theta)[:, None]
    out = np.stack(
        [
            flat * np.sin(phi), flat * np.cos(phi),
            np.broadcast_to(np.cos(theta)[:, None], (HEIGHT, WIDTH)),
        ],
        axis=-1,
    ).astype(np.float32)  # fmt: skip
    out.flags.writeable = False
    return out


@cache
def solid_angles() -> Floats:
    """Solid angle of each pixel, sr, (H, W); they sum to 4 pi."""
    theta = (np.arange(HEIGHT) + 0.5) * np.pi / HEIGHT
    ring = np.sin(theta) * np.pi / HEIGHT * 2 * np.pi / WIDTH
    out = np.repeat(ring[:, None], WIDTH, axis=1).astype(np.float32)
    out.flags.writeable = False
    return out


def toward(azimuth_deg: float, elevation_deg: float) -> Floats:
    """Return a direction, (3,); azimuth 0 is behind the camera, 90 to the right, 180 ahead."""
    azimuth, elevation = np.radians([azimuth_deg, elevation_deg])
    flat = np.cos(elevation)
    return np.array(
        [flat * np.sin(azimuth), -flat * np.cos(azimuth), np.sin(elevation)], dtype=np.float32
    )


def disc(direction: Floats, radius_deg: float, soft_deg: float) -> Floats:
    """Return the cover, 0..1, of a disc about a direction, (H, W)."""
    angle = np.degrees(np.arccos(np.clip(directions() @ direction, -1, 1)))
    cover = np.clip((radius_deg + soft_deg / 2 - angle) / soft_deg, 0, 1)
    return np.asarray(cover, np.float32)


def panel(direction: Floats, half: tuple[float, float], turn_deg: float) -> Floats:
    """Return the cover, 0..1, of a flat rectangle one unit away, (H, W).

    Parameters
    ----------
    direction
        Towards its middle, (3,).
    half
        Half of its sides, in units of its distance.
    turn_deg
        Turn about the direction to it.
    """
    up = np.array([0, 0, 1.0]) if abs(direction[2]) < _STEEP else np.array([0, 1.0, 0])
    side = np.cross(direction, up)
    side /= np.linalg.norm(side)
    over = np.cross(side, direction)
    c, s = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
    ahead = directions() @ direction
    scale = np.where(ahead > _GRAZING, 1 / np.maximum(ahead, _GRAZING), np.inf)
    u = np.abs((directions() @ (c * side + s * over).astype(np.float32)) * scale)
    v = np.abs((directions() @ (c * over - s * side).astype(np.float32)) * scale)
    soft = 0.04
    cover = np.clip((half[0] - u) / soft, 0, 1) * np.clip((half[1] - v) / soft, 0, 1)
    return np.asarray(np.nan_to_num(cover), np.float32)


def patches(rng: np.random.Generator, size_deg: float) -> Floats:
    """Return smooth noise over the sphere of mean 0 and deviation 1, (H, W).

    A sum of plane waves with random directions, so that it has no seam and no poles.
    """
    waves = rng.normal(size=(14, 3)).astype(np.float32) * np.float32(90 / size_deg)
    phases = rng.uniform(0, 2 * np.pi, 14).astype(np.float32)
    coarse = directions()[::4, ::4]
    noise = np.cos(coarse @ waves.T + phases).sum(axis=-1) * np.float32(np.sqrt(2 / 14))
    return np.repeat(np.repeat(noise, 4, axis=0), 4, axis=1)


def irradiance(radiance: Floats, normal: Sequence[float]) -> Floats:
    """Return the light falling on a surface with a normal, RGB, (3,)."""
    facing = np.clip(directions() @ np.asarray(normal, dtype=np.float32), 0, None)
    return np.asarray(np.einsum("hwc,hw->c", radiance, facing * solid_angles(), dtype=np.float64))
