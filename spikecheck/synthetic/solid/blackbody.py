"""Colour of light by its colour temperature."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

# Linear sRGB of CIE xyY, IEC 61966-2-1.
_XYZ_TO_RGB = np.array(
    [[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]]
)
_SWITCH_K = 4000.0


def white_of(temperature_k: float) -> NDArray[np.float64]:
    """Return linear sRGB, (3,), green 1, of the Planckian locus at 1667 to 25000 K.

    Notes
    -----
    The cubic approximation of Kim et al., US patent 7,024,034 (2006), from memory; near D65 at
    6500 K, hence nearly equal parts.
    """
    t = 1000 / temperature_k
    if temperature_k < _SWITCH_K:
        x = -0.2661239 * t**3 - 0.2343589 * t**2 + 0.8776956 * t + 0.179910
        y = -0.9549476 * x**3 - 1.37418593 * x**2 + 2.09137015 * x - 0.16748867
    else:
        x = -3.0258469 * t**3 + 2.1070379 * t**2 + 0.2226347 * t + 0.240390
        y = 3.0817580 * x**3 - 5.8733867 * x**2 + 3.75112997 * x - 0.37001483
    rgb = np.clip(_XYZ_TO_RGB @ np.array([x / y, 1.0, (1 - x - y) / y]), 0.02, None)
    return np.asarray(rgb / rgb[1])
