"""What a drawn chart is made of, before it becomes SVG or PDF."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

Places = tuple[tuple[float, float], ...]
"""Each (x, y) in units of the picture, from its upper left corner."""


class Anchor(StrEnum):
    """Which end of the text stands at its place; values are those of SVG's ``text-anchor``."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Line:
    """A line through places; ``dash`` holds lengths drawn and left out in turn, none if solid."""

    places: Places
    colour: str
    width: float
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Area:
    """A filled area; without an edge where its colour is empty."""

    places: Places
    fill: str
    edge: str = ""


@dataclass(frozen=True, slots=True)
class Ring:
    """A circle, filled unless its colour is empty."""

    centre: tuple[float, float]
    radius: float
    fill: str
    edge: str
    width: float


@dataclass(frozen=True, slots=True)
class Words:
    """One line of text on its base line; ``turned`` in degrees, anticlockwise about its place."""

    place: tuple[float, float]
    text: str
    size: float
    anchor: Anchor = Anchor.START
    bold: bool = False
    turned: float = 0.0


Shape = Line | Area | Ring | Words


@dataclass(frozen=True, slots=True)
class Picture:
    """Everything to be drawn, later shapes over earlier ones.

    Parameters
    ----------
    width, height
        Size, units of the picture: one is a CSS pixel or a point at natural size.
    title, told
        Of the chart.
    shapes
        What is drawn.
    """

    width: float
    height: float
    title: str
    told: str
    shapes: tuple[Shape, ...]
