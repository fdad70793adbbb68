"""Marks and lines of series."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from spikecheck.charts.looks import FLAG, FLAG_RADIUS, MARK_RADIUS, PAPER
from spikecheck.charts.shapes import Area, Line, Ring

if TYPE_CHECKING:
    from spikecheck.charts.looks import Look
    from spikecheck.charts.shapes import Places, Shape


def mark(place: tuple[float, float], shown: Look) -> Shape:
    """Return a mark of a series at a place."""
    if not shown.corners:
        return Ring(place, MARK_RADIUS, shown.colour, PAPER, 1.0)
    radius = MARK_RADIUS * 1.35
    around = [math.tau * (k / shown.corners) - math.pi / 2 for k in range(shown.corners)]
    corners = tuple(
        (place[0] + radius * math.cos(a), place[1] + radius * math.sin(a)) for a in around
    )
    return Area(corners, shown.colour, PAPER)


def flag(place: tuple[float, float]) -> Shape:
    """Return the ring around a point that is to stand out."""
    return Ring(place, FLAG_RADIUS, "", FLAG, 2.2)


def stroke(places: Places, shown: Look) -> Line:
    """Return the line of a series."""
    return Line(places, shown.colour, 2.0, shown.dash)
