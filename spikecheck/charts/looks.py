"""Colours, sizes and marks of charts.

Colours of text and lines have a contrast of 7:1 or more with white (WCAG 2.2, 1.4.6); series
differ in dash and mark as well, and a flagged point has a ring.
"""

from __future__ import annotations

from dataclasses import dataclass

PAPER, INK, SOFT_INK = "#ffffff", "#1a1a1a", "#4a4a4a"
GRID, AXIS = "#dcdcdc", "#4a4a4a"
BAND_FILL, BAND_EDGE = "#d9e4ee", "#5f7488"
FLAG = "#9b1c00"
LEVEL_DASH = (5.0, 3.0)
TITLE, TEXT = 14.0, 12.0
LINE_HEIGHT = 1.3
MARK_RADIUS, FLAG_RADIUS = 3.6, 7.5


@dataclass(frozen=True, slots=True)
class Look:
    """How one series is told from the others.

    Parameters
    ----------
    colour
        Of its line and marks.
    dash
        Of its line.
    corners
        Of its marks; 0 for a circle.
    """

    colour: str
    dash: tuple[float, ...]
    corners: int


LOOKS = (
    Look("#0b3f6b", (), 0),
    Look("#7a3300", (7.0, 3.0), 4),
    Look("#1d5230", (2.0, 3.0), 3),
    Look("#56287f", (9.0, 3.0, 2.0, 3.0), 5),
)


def look(number: int) -> Look:
    """Return the look of a series by its number in the chart; they come round again."""
    return LOOKS[number % len(LOOKS)]
