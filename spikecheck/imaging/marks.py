"""The signs an overlay speaks in: every conclusion has its own shape and its own colour.

Shape and colour say the same thing twice, so that neither is needed alone. The colours are of the
palette by Okabe and Ito, "Color Universal Design" (2008), https://jfly.uni-koeln.de/color/, made to
be told apart with every kind of colour vision. Each mark is drawn inside a near-black rim, which
sets it off from pale plants; the colours themselves are light enough to show on dark ones (at
least 3:1 to the rim, the contrast WCAG 2.2 asks of graphics, success criterion 1.4.11).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING

from spikecheck.language import N_
from spikecheck.vocabulary.anther import AntherStage
from spikecheck.vocabulary.floret import FloretStatus
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from collections.abc import Mapping

Colour = tuple[int, int, int]
"""sRGB, 8 bit."""

RIM: Colour = (16, 16, 16)
PAPER: Colour = (34, 34, 34)
"""Ground of the strips and of the space beside the photo."""
INK: Colour = (245, 245, 245)
"""Text, the outline of the spike and its axis."""

ORANGE: Colour = (230, 159, 0)
SKY_BLUE: Colour = (86, 180, 233)
YELLOW: Colour = (240, 228, 66)
VERMILLION: Colour = (213, 94, 0)
REDDISH_PURPLE: Colour = (204, 121, 167)


class Shape(StrEnum):
    """Outline of a mark."""

    CIRCLE = "circle"
    TRIANGLE = "triangle"
    SQUARE = "square"
    DIAMOND = "diamond"


@dataclass(frozen=True, slots=True)
class Mark:
    """How one conclusion is drawn.

    Parameters
    ----------
    shape, colour
        Both belong to this conclusion alone.
    words
        What the legend says.
    """

    shape: Shape
    colour: Colour
    words: str


MARKS: Mapping[FloretStatus, Mark] = MappingProxyType(
    {
        FloretStatus.ANTHER: Mark(Shape.TRIANGLE, VERMILLION, N_("possible anther")),
        FloretStatus.NOT_CLIPPED: Mark(Shape.DIAMOND, REDDISH_PURPLE, N_("not clipped")),
        FloretStatus.NOT_SEEN: Mark(Shape.SQUARE, YELLOW, N_("not seen")),
        FloretStatus.CLEAR: Mark(Shape.CIRCLE, SKY_BLUE, N_("clear")),
    }
)
"""Most urgent first."""

STAGE_LETTERS: Mapping[AntherStage, str] = MappingProxyType(
    {AntherStage.GREEN: "G", AntherStage.YELLOW: "Y", AntherStage.DEHISCED: "D"}
)

VERDICT_COLOURS: Mapping[Verdict, Colour] = MappingProxyType(
    {Verdict.PASS: SKY_BLUE, Verdict.REVIEW: ORANGE}
)


def anther_letters(stage: AntherStage, *, near_anthesis: bool, broken: bool) -> str:
    """Return what stands beside an anther: stage letter, ``!`` near anthesis, ``b`` broken."""
    return STAGE_LETTERS[stage] + ("!" if near_anthesis else "") + ("b" if broken else "")
