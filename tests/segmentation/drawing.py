"""Shapes for the tests of the segmentation: bodies with stem and awns, strips with openings."""

from __future__ import annotations

import cv2
import numpy as np

from spikecheck.imaging.strip import STRIP_PX_PER_MM, Strip

TISSUE = (62.0, -14.0, 28.0)  # CIELAB of green tissue
RIM = (86.0, -4.0, 14.0)
CAVITY = (22.0, -5.0, 12.0)


def spike_mask(
    *,
    size: tuple[int, int] = (800, 600),
    centre: tuple[float, float] = (350.0, 300.0),
    length: float = 420.0,
    width: float = 80.0,
    direction_deg: float = 90.0,
    stem: float = 0.22,
    awns: bool = True,
) -> np.ndarray:
    """A spike as plant tissue: an ellipse, a stem at its base, awns at its tip.

    ``direction_deg`` points from base to tip, counter-clockwise from the columns' direction (90 is
    tip up); ``stem`` is the stem's width over the body's.
    """
    mask = np.zeros(size, np.uint8)
    turn = np.radians(direction_deg)
    towards_tip, aside = (
        np.array([np.cos(turn), -np.sin(turn)]),
        np.array([np.sin(turn), np.cos(turn)]),
    )
    middle = np.array(centre[::-1])

    def point(along: float, across: float = 0.0) -> tuple[int, int]:
        x, y = middle + along * towards_tip + across * aside
        return round(x), round(y)

    axes = (round(length / 2), round(width / 2))
    cv2.ellipse(mask, point(0), axes, -direction_deg, 0, 360, 1, -1)
    if stem:
        cv2.line(mask, point(-length / 2 + 8), point(-length), 1, round(stem * width))
    if awns:
        for across in np.linspace(-0.8, 0.8, 5) * width:
            cv2.line(mask, point(0.3 * length, 0.4 * across), point(0.9 * length, across), 1, 3)
    return mask > 0


def plain_strip(rows: int = 1000, columns: int = 361, *, zoom: float = 1.0) -> Strip:
    """A strip cut from a photo in which the spike stood upright, its tip at row 50."""
    photo_rows, photo_columns = np.mgrid[:rows, :columns].astype(np.float32)
    return Strip(
        pixels=np.zeros((rows, columns, 3), np.uint8),
        inside=np.ones((rows, columns), dtype=bool),
        photo_rows=photo_rows / zoom,
        photo_columns=photo_columns / zoom,
        tip_row=50.0,
        base_row=rows - 51.0,
        axis_column=(columns - 1) / 2,
        zoom=zoom,
    )


def tissue_lab(rows: int = 400, columns: int = 360, *, noise: float = 0.8) -> np.ndarray:
    """Even green tissue with a little noise, float32 CIELAB."""
    lab = np.tile(np.array(TISSUE, np.float32), (rows, columns, 1))
    lab += np.random.default_rng(5).normal(0, noise, lab.shape).astype(np.float32)
    return lab


def draw_opening(
    lab: np.ndarray,
    centre: tuple[float, float],
    *,
    half_across_mm: float = 1.25,
    flatness: float = 0.7,
    turn_deg: float = 0.0,
    rim_mm: float = 0.25,
) -> None:
    """Draw a cut opening: a pale rim round a dark cavity; the rim's middle is the ellipse."""
    rows, columns = np.mgrid[: lab.shape[0], : lab.shape[1]]
    distance = ellipse_distance_mm(
        rows, columns, centre, half_across_mm=half_across_mm, flatness=flatness, turn_deg=turn_deg
    )
    lab[distance < -rim_mm / 2] = CAVITY
    lab[np.abs(distance) <= rim_mm / 2] = RIM
    lab[:] = cv2.GaussianBlur(lab, (0, 0), 1.0)


def ellipse_distance_mm(
    rows: np.ndarray,
    columns: np.ndarray,
    centre: tuple[float, float],
    *,
    half_across_mm: float,
    flatness: float,
    turn_deg: float,
) -> np.ndarray:
    """Signed distance to an ellipse in mm, to first order; negative within."""
    x, y = ((columns - centre[1]) / STRIP_PX_PER_MM, (rows - centre[0]) / STRIP_PX_PER_MM)
    turn = np.radians(turn_deg)
    u, v = x * np.cos(turn) + y * np.sin(turn), -x * np.sin(turn) + y * np.cos(turn)
    half_along_mm = flatness * half_across_mm
    radius = np.maximum(np.hypot(u / half_across_mm, v / half_along_mm), 1e-6)
    slope = np.hypot(u / half_across_mm**2, v / half_along_mm**2) / radius
    return (radius - 1) / np.maximum(slope, 1e-6)
