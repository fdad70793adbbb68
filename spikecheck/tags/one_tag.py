"""Draws one tag; all places in mm from its upper left corner, y down, as in the layout."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.tags.lettering import BOLD, PLAIN, fitted, one_line, width_pt, write
from spikecheck.tags.symbol import qr_modules
from spikecheck.vocabulary.tag_code import shown_code
from spikecheck.vocabulary.tag_layout import (
    GREY_STEPS,
    HOLE_CENTRE_MM,
    HOLE_DIAMETER_MM,
    QR,
    QR_MODULE_MM,
    RULER_CM,
    RULER_FOOT_MM,
    RULER_LEFT_MM,
    TAG_HEIGHT_MM,
    TAG_WIDTH_MM,
    grey_step,
    ruler_ticks,
)

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

    from spikecheck.vocabulary import CrossTag
    from spikecheck.vocabulary.tag_layout import Rectangle

MM = 72 / 25.4  # points in a millimetre; a PDF's point is 1/72 inch

_TEXT_LEFT, _TEXT_RIGHT = 36.0, 93.0
_GAP_MM = 2.0
_FIRST_LINE, _SECOND_LINE = 4.9, 9.2  # feet of the two lines of names
_TITLE_PT, _NAMES_PT, _CODE_PT, _LEAST_PT = 12.0, 9.5, 11.5, 6.5
_SMALL_PT = 5.5
_ROUNDING_PT = 0.01  # widths that are added up differ in their last digit
_FIELDS = (("emasculated", "pollinated"), ("harvested", "initials"))
_FIELD_FEET = (16.6, 23.2)  # ruled lines, to be written on in pencil
_FIELD_WORD_MM = 4.7  # how far above its line the foot of a field's word stands
_NUMBER_PT = 5.0
_WHITE = 255
_BLANK = "blank"


def define_blank(canvas: Canvas) -> None:
    """Put what all tags have alike into the PDF once; :func:`draw_tag` refers to it."""
    canvas.beginForm(_BLANK, 0, -TAG_HEIGHT_MM * MM, TAG_WIDTH_MM * MM, 0)
    canvas.setFillGray(0)
    canvas.setStrokeGray(0)
    _hole(canvas)
    _fields(canvas)
    _ruler(canvas)
    _greys(canvas)
    canvas.endForm()


def draw_tag(canvas: Canvas, tag: CrossTag) -> None:
    """Draw ``tag`` with its upper left corner at the canvas's origin.

    Raises
    ------
    TagError
        If the code does not fit the symbol.
    """
    canvas.doForm(_BLANK)
    canvas.setFillGray(0)
    _symbol(canvas, tag.code)
    _names(canvas, tag)


def _rectangle(canvas: Canvas, place: Rectangle) -> None:
    canvas.rect(
        place.left * MM, -place.bottom * MM, (place.right - place.left) * MM,
        (place.bottom - place.top) * MM, stroke=0, fill=1,
    )  # fmt: skip


def _hole(canvas: Canvas) -> None:
    x, y = HOLE_CENTRE_MM
    canvas.setLineWidth(0.2 * MM)
    canvas.circle(x * MM, -y * MM, HOLE_DIAMETER_MM / 2 * MM, stroke=1, fill=0)
    canvas.setLineWidth(0.1 * MM)
    canvas.line((x - 1) * MM, -y * MM, (x + 1) * MM, -y * MM)
    canvas.line(x * MM, -(y - 1) * MM, x * MM, -(y + 1) * MM)


def _symbol(canvas: Canvas, code: str) -> None:
    """Fill all dark modules as one path, so that no hairline shows between two of them."""
    path = canvas.beginPath()
    side = QR_MODULE_MM * MM
    for row, modules in enumerate(qr_modules(code)):
        foot = -(QR.top * MM + (row + 1) * side)
        for column, dark in enumerate(modules):
            if dark:
                path.rect(QR.left * MM + column * side, foot, side, side)
    canvas.drawPath(path, stroke=0, fill=1)


def _names(canvas: Canvas, tag: CrossTag) -> None:
    code, spike = shown_code(tag.code), f"spike {tag.spike}"
    code_left = _at_the_right(canvas, code, _FIRST_LINE, BOLD, _CODE_PT)
    _in_room(canvas, tag.cross, _FIRST_LINE, BOLD, _TITLE_PT, before=code_left)
    spike_left = _at_the_right(canvas, spike, _SECOND_LINE, BOLD, _NAMES_PT)
    parents = f"{tag.female} \u00d7 {tag.male}"
    if width_pt(parents, PLAIN, _LEAST_PT) > (spike_left - _TEXT_LEFT - _GAP_MM) * MM:
        parents = _both_shortened(tag, (spike_left - _TEXT_LEFT - _GAP_MM) * MM)
    _in_room(canvas, parents, _SECOND_LINE, PLAIN, _NAMES_PT, before=spike_left)


def _both_shortened(tag: CrossTag, room_pt: float) -> str:
    """Return female and male, each with the start of its name, where both do not fit whole."""
    times = " \u00d7 "
    room = room_pt - width_pt(times, PLAIN, _LEAST_PT) - _ROUNDING_PT
    names = one_line(tag.female), one_line(tag.male)
    wants = [width_pt(name, PLAIN, _LEAST_PT) for name in names]
    shares = [
        min(own, max(room / 2, room - other)) for own, other in zip(wants, wants[::-1], strict=True)
    ]
    female, male = (
        fitted(name, PLAIN, _LEAST_PT, room_pt=share, least_pt=_LEAST_PT)[0]
        for name, share in zip(names, shares, strict=True)
    )
    return f"{female}{times}{male}"


def _at_the_right(canvas: Canvas, text: str, foot: float, font: str, size_pt: float) -> float:
    """Write at the right edge; return where the text begins, mm."""
    left = _TEXT_RIGHT - width_pt(text, font, size_pt) / MM
    write(canvas, (left * MM, -foot * MM), text, font=font, size_pt=size_pt)
    return left


def _in_room(
    canvas: Canvas, text: str, foot: float, font: str, size_pt: float, *, before: float
) -> None:
    room_pt = (before - _TEXT_LEFT - _GAP_MM) * MM
    shown, size_pt = fitted(text, font, size_pt, room_pt=room_pt, least_pt=_LEAST_PT)
    write(canvas, (_TEXT_LEFT * MM, -foot * MM), shown, font=font, size_pt=size_pt)


def _fields(canvas: Canvas) -> None:
    """Rule lines to write on; a pencil stays where ink runs in the wet.

    The word of a line stands above its beginning, so that the whole line is free for a date.
    """
    canvas.setLineWidth(0.15 * MM)
    wide = (_TEXT_RIGHT - _TEXT_LEFT - _GAP_MM) / 2
    for foot, words in zip(_FIELD_FEET, _FIELDS, strict=True):
        for number, word in enumerate(words):
            left = _TEXT_LEFT + number * (wide + _GAP_MM)
            write(canvas, (left * MM, -(foot - _FIELD_WORD_MM) * MM), word, size_pt=_SMALL_PT)
            canvas.line(left * MM, -foot * MM, (left + wide) * MM, -foot * MM)


def _ruler(canvas: Canvas) -> None:
    for tick in ruler_ticks():
        _rectangle(canvas, tick)
    foot = RULER_FOOT_MM - 1.3
    for number in range(RULER_CM + 1):
        right_of_tick = RULER_LEFT_MM + 10 * number + 0.35
        words = f"{number} cm" if number == RULER_CM else str(number)
        write(canvas, (right_of_tick * MM, -foot * MM), words, size_pt=_NUMBER_PT)


def _greys(canvas: Canvas) -> None:
    for number, code in enumerate(GREY_STEPS):
        canvas.setFillGray(code / _WHITE)
        _rectangle(canvas, grey_step(number))
    canvas.setFillGray(0)
