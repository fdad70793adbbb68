"""The tag's geometry and grey steps: what printing and reading must agree on.

All places are in mm from the tag's upper left corner, x to the right, y down, with the tag's hole
on the left. Parts that hold text may change freely; a change to anything named here makes tags that
hang already unreadable as a scale, so it needs a new layout beside this one.
"""

from __future__ import annotations

from dataclasses import dataclass

TAG_WIDTH_MM = 96.0
TAG_HEIGHT_MM = 34.0


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A part of the tag, mm.

    Parameters
    ----------
    left, top, right, bottom
        Its edges.
    """

    left: float
    top: float
    right: float
    bottom: float


# The symbol: version 1 of ISO/IEC 18004 holds 10 alphanumeric characters at level H and 16 at Q.
QR_MODULES = 21
QR_QUIET_MODULES = 4
QR_MODULE_MM = 0.8
QR_SIDE_MM = QR_MODULES * QR_MODULE_MM
QR = Rectangle(14.2, 4.0, 14.2 + QR_SIDE_MM, 4.0 + QR_SIDE_MM)
"""Without its quiet zone."""

HOLE_CENTRE_MM = (6.0, 17.0)
HOLE_DIAMETER_MM = 5.0

RULER_LEFT_MM = 14.0
RULER_CM = 7
RULER_FOOT_MM = 27.7
"""Where every tick ends below."""
TICK_WIDTH_MM = 0.2
TICK_LENGTHS_MM = (1.0, 1.7, 2.6)
"""Of a millimetre, of five, of ten."""

GREY_STEPS = (40, 170, 90, 210, 60, 130, 235)
"""sRGB codes, equal in red, green and blue, from left to right. Dark and light alternate, so that
each border can be found in a photo. A printer reaches them only roughly; that they are neutral and
lie in this order of lightness is what is relied on."""
GREY_STEP_WIDTH_MM = 10.0
GREY_TOP_MM = 28.4
GREY_BOTTOM_MM = 33.0


def grey_step(number: int) -> Rectangle:
    """Return where grey step ``number``, from 0, lies; each spans a centimetre of the ruler."""
    left = RULER_LEFT_MM + number * GREY_STEP_WIDTH_MM
    return Rectangle(left, GREY_TOP_MM, left + GREY_STEP_WIDTH_MM, GREY_BOTTOM_MM)


def ruler_ticks() -> tuple[Rectangle, ...]:
    """Return every tick of the ruler, from 0 mm to its end."""
    ticks = []
    for mm in range(RULER_CM * 10 + 1):
        length = TICK_LENGTHS_MM[2 if mm % 10 == 0 else 1 if mm % 5 == 0 else 0]
        middle = RULER_LEFT_MM + mm
        ticks.append(
            Rectangle(
                middle - TICK_WIDTH_MM / 2, RULER_FOOT_MM - length,
                middle + TICK_WIDTH_MM / 2, RULER_FOOT_MM,
            )
        )  # fmt: skip
    return tuple(ticks)
