"""Strips and maps of the florets network made by hand."""

from __future__ import annotations

import numpy as np

from spikecheck.imaging.strip import Strip, straighten
from spikecheck.networks import FloretMap, FloretsTuned, LogitScaling
from spikecheck.thresholds import load_thresholds
from tests.networks.colour_networks import FLORETS_TUNED

TUNED = FloretsTuned(**FLORETS_TUNED)
SCALING = LogitScaling(1.0, 0.0)
THRESHOLDS = load_thresholds().networks
ROWS, COLUMNS = 1280, 480  # 64 mm x 24 mm at 20 px/mm
CELLS = (ROWS // 4, COLUMNS // 4)
PX_PER_MM = 40.0  # of the photo
MIDDLE = (COLUMNS - 1) / 2


def strip(angle_deg: float = 0.0, *, margin_mm: float = 5.0) -> Strip:
    """A strip of a photo of 3600 x 3600 px; its axis leans ``angle_deg`` clockwise from up."""
    turn = np.radians(angle_deg)
    half = (ROWS - 1) / 40 - margin_mm  # mm
    towards_tip = np.array([-np.cos(turn), np.sin(turn)])
    places = np.linspace(-half, half, 24)[:, None] * PX_PER_MM
    axis = np.array([1800.0, 1800.0]) + places * towards_tip
    photo = np.zeros((3600, 3600, 3), np.uint8)
    made = straighten(
        photo, axis, half_width_px=MIDDLE * 2, margin_px=margin_mm * PX_PER_MM, zoom=0.5
    )
    assert made.pixels.shape[:2] == (ROWS, COLUMNS)
    return made


def empty_maps() -> np.ndarray:
    """Maps in which nothing is seen: background, no anther, no floret."""
    maps = np.zeros((20, *CELLS), np.float32)
    maps[FloretMap.TISSUE] = 8
    maps[FloretMap.ANTHER_HEAT] = maps[FloretMap.FLORET_HEAT] = -9
    maps[FloretMap.ANTHER_PIXEL] = 8
    maps[[FloretMap.UNCUT, FloretMap.HOLDS_ANTHER]] = -8
    maps[FloretMap.CLIPPED] = 8
    return maps


def add_bump(maps: np.ndarray, channel: int, place, *, top: float, spread: float = 1.5) -> None:
    """Raise a heat map by a bump at ``place``, (row, column) in px of the strip."""
    row, column = ((np.array(place) - 1.5) / 4).tolist()
    rows, columns = np.indices(CELLS)
    distance = (rows - row) ** 2 + (columns - column) ** 2
    heat = np.exp(-distance / (2 * spread**2)) / (1 + np.exp(-top))
    heat = np.clip(heat, 1e-5, 1 - 1e-5)
    maps[channel] = np.maximum(maps[channel], np.log(heat / (1 - heat)))


def add_floret(
    maps: np.ndarray,
    place,
    *,
    left: bool,
    height_mm=3.0,
    width_mm=2.0,
    clipped=6.0,
    cavity=3.0,
    holds=-5.0,
    top=5.0,
) -> None:
    """Add a floret whose attributes hold in the cell of its centre only."""
    add_bump(maps, FloretMap.FLORET_HEAT, place, top=top)
    cell = cell_of(place)
    for channel, value in (
        (FloretMap.CLIPPED, clipped), (FloretMap.CAVITY, cavity),
        (FloretMap.FLORET_SIZE, np.log(height_mm)), (FloretMap.FLORET_SIZE + 1, np.log(width_mm)),
        (FloretMap.HOLDS_ANTHER, holds), (FloretMap.LEFT, 6.0 if left else -6.0),
    ):  # fmt: skip
        maps[channel][cell] = value


def add_anther(
    maps: np.ndarray,
    place,
    *,
    kind=1,
    angle_deg=0.0,
    length_mm=3.0,
    width_mm=0.8,
    near=-5.0,
    broken=-5.0,
    top=5.0,
    pixels=True,
) -> None:
    """Add an anther of kind 1 green, 2 yellow, 3 dehisced, leaning clockwise from up."""
    add_bump(maps, FloretMap.ANTHER_HEAT, place, top=top, spread=1.0)
    cell = cell_of(place)
    maps[FloretMap.NEAR_ANTHESIS][cell] = near
    maps[FloretMap.BROKEN][cell] = broken
    maps[FloretMap.ANTHER_SIZE][cell] = np.log(length_mm)
    maps[FloretMap.ANTHER_SIZE + 1][cell] = np.log(width_mm)
    if pixels:
        rows, columns = np.indices(CELLS) * 4 + 1.5
        turn = np.radians(angle_deg)
        down, aside = rows - place[0], columns - place[1]
        along = -down * np.cos(turn) + aside * np.sin(turn)
        across = down * np.sin(turn) + aside * np.cos(turn)
        inside = (np.abs(along) <= 10 * length_mm) & (np.abs(across) <= 10 * width_mm)
        maps[FloretMap.ANTHER_PIXEL][inside] = -8
        maps[FloretMap.ANTHER_PIXEL + kind][inside] = 8


def cell_of(place) -> tuple[int, int]:
    """The cell a place of the strip lies in."""
    return int((place[0] + 0.5) // 4), int((place[1] + 0.5) // 4)


def in_photo(place, angle_deg: float = 0.0) -> np.ndarray:
    """Where a place of the strip lies in the photo of :func:`strip`."""
    turn = np.radians(angle_deg)
    towards_tip = np.array([-np.cos(turn), np.sin(turn)])
    right = np.array([np.sin(turn), np.cos(turn)])
    up, aside = (ROWS - 1) / 2 - place[0], place[1] - MIDDLE
    return np.array([1800.0, 1800.0]) + 2 * (up * towards_tip + aside * right)
