"""Light on an organ: direct, from the sky, through thin tissue, and its gloss."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.frame import Patch


@dataclass(frozen=True, slots=True)
class Light:
    """The light of a scene.

    Parameters
    ----------
    direction
        Unit vector (column, row, towards the camera) to the light.
    key, sky
        Linear RGB of the direct light and of the light from all around.
    soft_mm
        How far the edge of a shadow is smeared, mm.
    """

    direction: tuple[float, float, float]
    key: tuple[float, float, float]
    sky: tuple[float, float, float]
    soft_mm: float


@dataclass(frozen=True, slots=True)
class Surface:
    """What a patch of tissue is like.

    Parameters
    ----------
    albedo
        float32 array of shape (H, W, 3): linear RGB reflectance.
    across, along
        float32 arrays of shape (H, W): slope of the surface normal in the organ's frame.
    thin
        Share of light that comes through, 0..1: a number or an array of shape (H, W).
    gloss
        Strength of the highlight: a number or an array of shape (H, W).
    shine
        Exponent of the highlight; higher is sharper.
    """

    albedo: Floats
    across: Floats
    along: Floats
    thin: Floats | float = 0.0
    gloss: Floats | float = 0.05
    shine: float = 18.0


def lit(surface: Surface, patch: Patch, light: Light) -> Floats:
    """Return the light that leaves a surface towards the camera.

    Diffuse light wraps a little past the terminator, as it does in scattering tissue; the
    highlight follows Blinn (1977), "Models of light reflection for computer synthesized pictures".

    Returns
    -------
    float32 array of shape (H, W, 3), linear RGB.
    """
    nx, ny = patch.turned(surface.across, surface.along)
    nz = 1.0 / np.sqrt(nx * nx + ny * ny + 1)
    nx, ny = nx * nz, ny * nz
    lx, ly, lz = light.direction
    facing = nx * lx + ny * ly + nz * lz
    wrap = 0.25
    direct = np.clip((facing + wrap) / (1 + wrap), 0.0, None)
    through = np.clip(-facing * 0.6 + 0.45, 0.0, 1.0) * surface.thin
    around = 0.62 + 0.22 * nz - 0.16 * ny
    hx, hy, hz = lx, ly, lz + 1.0
    half = float(np.sqrt(hx * hx + hy * hy + hz * hz))
    peak = np.clip((nx * hx + ny * hy + nz * hz) / half, 0.0, 1.0) ** surface.shine
    key, sky = np.asarray(light.key, np.float32), np.asarray(light.sky, np.float32)
    diffuse = direct[..., None] * key + around[..., None] * sky
    # Light that came through tissue is yellower: chlorophyll absorbs blue twice over.
    glow = through[..., None] * key * np.asarray((1.0, 1.05, 0.6), np.float32)
    sheen = (peak * surface.gloss)[..., None] * (key + 0.3 * sky)
    return (surface.albedo * (diffuse + glow) + sheen).astype(np.float32)
