"""A strip of even green tissue with patches of known size and colour, for the tests of anthers."""

from __future__ import annotations

import numpy as np

from spikecheck.imaging.strip import STRIP_PX_PER_MM

ROWS, COLUMNS = 400, 300
TISSUE = (55.0, -16.0, 26.0)  # CIELAB; hue 122 degrees, chroma 30
YELLOW, PALE, GREEN = (72.0, -5.0, 44.0), (84.0, -2.0, 20.0), (69.0, -15.0, 32.0)
CAVITY = (25.0, -6.0, 12.0)
EVERYWHERE = np.ones((ROWS, COLUMNS), dtype=bool)
NOWHERE = ~EVERYWHERE


def tissue() -> np.ndarray:
    """Even tissue, float32 CIELAB."""
    return np.tile(np.array(TISSUE, np.float32), (ROWS, COLUMNS, 1))


def ellipse(
    centre: tuple[float, float], length_mm: float, width_mm: float, *, turn_deg: float = 0.0
) -> np.ndarray:
    """A mask; ``turn_deg`` turns its long axis from the columns' direction, clockwise."""
    rows, columns = np.mgrid[:ROWS, :COLUMNS]
    y, x = (rows - centre[0]) / STRIP_PX_PER_MM, (columns - centre[1]) / STRIP_PX_PER_MM
    turn = np.radians(turn_deg)
    u, v = x * np.cos(turn) + y * np.sin(turn), -x * np.sin(turn) + y * np.cos(turn)
    return np.hypot(u / (length_mm / 2), v / (width_mm / 2)) <= 1


def area_mm2(mask: np.ndarray) -> float:
    """Its area."""
    return float(mask.sum()) / STRIP_PX_PER_MM**2
