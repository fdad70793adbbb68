"""How the spike is turned to the camera, and where that puts its organs in the picture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, slots=True)
class View:
    """How the spike is turned to the camera.

    Parameters
    ----------
    roll
        Turn about its own axis, radians; 0 shows the two ranks left and right.
    elevation
        How far its tip leans to the camera, radians.
    """

    roll: float
    elevation: float


def draw_view(rng: np.random.Generator) -> View:
    """Return a view at random: any roll, the tip leaning to the camera so that one looks in."""
    return View(float(rng.uniform(0, 2 * np.pi)), float(np.radians(rng.uniform(22, 38))))


@dataclass(frozen=True, slots=True)
class Seat:
    """An organ's foot and direction in space, seen by the camera."""

    t_mm: float
    s_mm: float
    depth: float
    lean: float
    length_share: float
    toward: float


def seat_of(
    view: View, t_mm: float, azimuth: float, foot_azimuth: float, *, lean: float, radius_mm: float
) -> Seat:
    """Return where an organ is seen that leans by ``lean`` out of the axis at an azimuth."""
    out = radius_mm * np.array([np.cos(foot_azimuth), np.sin(foot_azimuth)])
    side = np.sin(lean) * np.cos(azimuth)
    up, depth = np.cos(lean), np.sin(lean) * np.sin(azimuth)
    cos_e, sin_e = np.cos(view.elevation), np.sin(view.elevation)
    seen_up, toward = up * cos_e - depth * sin_e, depth * cos_e + up * sin_e
    return Seat(
        t_mm=float(t_mm - out[1] * sin_e), s_mm=float(out[0]), depth=float(out[1]),
        lean=float(np.arctan2(side, seen_up)),
        length_share=float(np.hypot(side, seen_up)), toward=float(toward),
    )  # fmt: skip
