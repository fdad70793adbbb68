"""Sheets of tags to print and cut, true to size."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING

from spikecheck.errors import TagError, UsageError
from spikecheck.tags.lettering import BOLD, PLAIN, width_pt, write
from spikecheck.tags.one_tag import MM, define_blank, draw_tag
from spikecheck.vocabulary.tag_code import read_code, shown_code
from spikecheck.vocabulary.tag_layout import TAG_HEIGHT_MM, TAG_WIDTH_MM

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reportlab.pdfgen.canvas import Canvas

    from spikecheck.vocabulary import CrossTag

PAPERS_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height of A4 (ISO 216) and of US letter (ANSI/ASME Y14.1, size A), mm."""

COLUMNS, ROWS = 2, 7
TAGS_ON_A_SHEET = COLUMNS * ROWS
CHECK_LINE_MM = 100.0
_EDGE_MM = 6.0  # printers leave a strip of 4 to 5 mm blank at the paper's edge (common practice)
_HEAD_MM = 16.0  # room above the tags for what must be read before printing
_MARK_MM = 3.5  # length of a cut mark, and how far it stands off
_OFF_MM = 1.0
_PT = 8.0


def tag_sheets(tags: Sequence[CrossTag], *, paper: str = "a4") -> bytes:
    """Return tags as a PDF, fourteen on a sheet, to be printed at 100 % and cut.

    Parameters
    ----------
    tags
        One or more; printed in this order, row by row.
    paper
        ``"a4"`` or ``"letter"``.

    Returns
    -------
    bytes
        The PDF. It is the same, byte by byte, for the same tags. Its viewer is asked not to scale
        when printing; each sheet carries a line that must measure 100 mm, because not all of them
        obey.

    Raises
    ------
    UsageError
        If there is no tag, or no such paper.
    TagError
        If a code is none, or given twice.

    Notes
    -----
    Letters that no font has are printed as empty boxes, and some are left to the viewer's fonts;
    :func:`letters_without_font` and :func:`letters_of_the_viewer` tell which.
    """
    from reportlab.pdfgen.canvas import Canvas

    _refuse(tags, paper)
    width, height = PAPERS_MM[paper]
    place = _place(width, height)
    sheets = [tags[at : at + TAGS_ON_A_SHEET] for at in range(0, len(tags), TAGS_ON_A_SHEET)]
    target = BytesIO()
    canvas = Canvas(target, pagesize=(width * MM, height * MM), pageCompression=1, invariant=1)
    canvas.setTitle("Cross tags")
    canvas.setCreator("spikecheck")
    canvas.setViewerPreference("PrintScaling", "None")
    define_blank(canvas)
    for number, sheet in enumerate(sheets, start=1):
        _head(canvas, place, f"sheet {number} of {len(sheets)}")
        _cut_marks(canvas, place, len(sheet))
        for at, tag in enumerate(sheet):
            row, column = divmod(at, COLUMNS)
            canvas.saveState()
            left, top = place.left + column * TAG_WIDTH_MM, place.top + row * TAG_HEIGHT_MM
            canvas.translate(left * MM, (height - top) * MM)
            draw_tag(canvas, tag)
            canvas.restoreState()
        canvas.showPage()
    canvas.save()
    return target.getvalue()


@dataclass(frozen=True, slots=True)
class _Place:
    """Upper left corner of the block of tags and height of the page, mm from its top left."""

    left: float
    top: float
    page_height: float

    def up(self, y: float) -> float:
        """Return ``y``, mm from the top, in points from the bottom."""
        return (self.page_height - y) * MM


def _place(width: float, height: float) -> _Place:
    return _Place((width - COLUMNS * TAG_WIDTH_MM) / 2, _EDGE_MM + _HEAD_MM, height)


def _refuse(tags: Sequence[CrossTag], paper: str) -> None:
    if paper not in PAPERS_MM:
        raise UsageError(
            f"{paper!r} is no paper that tags are printed on",
            cure=f"Choose {' or '.join(PAPERS_MM)}",
        )
    if not tags:
        raise UsageError("no tag to print", cure="Choose at least one spike")
    counts = Counter(read_code(tag.code) for tag in tags)
    code, count = counts.most_common(1)[0]
    if count > 1:
        raise TagError(
            f"is to be printed {count} times", where=shown_code(code),
            cure="Every tag has a code of its own; give each spike once",
        )  # fmt: skip


def _head(canvas: Canvas, place: _Place, which: str) -> None:
    """Draw the line that must measure 100 mm, and the words that go with it."""
    top = place.top - _HEAD_MM
    words_foot, line_y = place.up(top + 2.5), place.up(top + 7.5)
    left, right = place.left * MM, (place.left + CHECK_LINE_MM) * MM
    warning = "Print at 100 % (actual size), do not fit to the page: this line must measure 100 mm."
    write(canvas, (left, words_foot), warning, font=BOLD, size_pt=_PT)
    last = (place.left + COLUMNS * TAG_WIDTH_MM) * MM - width_pt(which, PLAIN, _PT)
    write(canvas, (last, words_foot), which, size_pt=_PT)
    canvas.setLineWidth(0.2 * MM)
    canvas.line(left, line_y, right, line_y)
    for x in (left, right):
        canvas.line(x, line_y - 2 * MM, x, line_y + 2 * MM)
    hint = "Write in pencil. Punch the hole."
    write(canvas, (right + 3 * MM, line_y - 1 * MM), hint, size_pt=_PT)


def _cut_marks(canvas: Canvas, place: _Place, tags: int) -> None:
    """Draw cut marks outside the tags and faint lines between them; none where no tag is."""
    rows_in = [(tags + COLUMNS - 1 - column) // COLUMNS for column in range(min(tags, COLUMNS))]
    upright, level = _edges(place, rows_in)
    canvas.saveState()
    canvas.setStrokeGray(0.75)
    canvas.setLineWidth(0.1 * MM)
    canvas.setDash(1 * MM, 2 * MM)
    for x, bottom in upright:
        canvas.line(x * MM, place.up(place.top), x * MM, place.up(bottom))
    for y, right in level:
        canvas.line(place.left * MM, place.up(y), right * MM, place.up(y))
    canvas.restoreState()
    canvas.setLineWidth(0.15 * MM)
    for x, bottom in upright:
        for end, away in ((place.top, -1), (bottom, 1)):
            near, far = end + away * _OFF_MM, end + away * (_OFF_MM + _MARK_MM)
            canvas.line(x * MM, place.up(near), x * MM, place.up(far))
    for y, right in level:
        for end, away in ((place.left, -1), (right, 1)):
            near, far = end + away * _OFF_MM, end + away * (_OFF_MM + _MARK_MM)
            canvas.line(near * MM, place.up(y), far * MM, place.up(y))


_Edges = list[tuple[float, float]]


def _edges(place: _Place, rows_in: Sequence[int]) -> tuple[_Edges, _Edges]:
    """Return the upright edges as (x, bottom) and the level ones as (y, right), mm.

    ``rows_in`` says how many tags each column holds, the first column the most.
    """
    upright = [
        (place.left + edge * TAG_WIDTH_MM, place.top + rows_in[max(edge - 1, 0)] * TAG_HEIGHT_MM)
        for edge in range(len(rows_in) + 1)
    ]
    level = [
        (
            place.top + edge * TAG_HEIGHT_MM,
            place.left + sum(rows >= edge for rows in rows_in) * TAG_WIDTH_MM,
        )
        for edge in range(rows_in[0] + 1)
    ]
    return upright, level
