"""What the values of a class map say; what is predicted of them: ``networks.outputs``."""

from __future__ import annotations

from enum import IntEnum

UNKNOWN_CLASS = 255
"""Class of a pixel that nobody labelled."""


class PixelClass(IntEnum):
    """Values of a class map (``NAME.classes.png``)."""

    BACKGROUND = 0
    SPIKE = 1
    OVER = 2
    GREEN_ANTHER = 3
    YELLOW_ANTHER = 4
    DEHISCED_ANTHER = 5
    OTHER_SPIKE = 6
