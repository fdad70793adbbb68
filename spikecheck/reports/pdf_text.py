"""Text for reportlab: styles, and any text as markup that says nothing but the text."""

from __future__ import annotations

from functools import cache
from html import escape
from typing import TYPE_CHECKING

from spikecheck.tags.lettering import BOLD, PLAIN, font_runs, one_line

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reportlab.lib.styles import ParagraphStyle
    from reportlab.platypus import Paragraph

INK, SOFT_INK, RULE, SHADE = "#1a1a1a", "#4a4a4a", "#b8b8b8", "#f2f2f2"

_SIZES = {
    # name: size, leading, bold, space before, space after, points
    "title": (19.0, 23.0, True, 0.0, 10.0),
    "heading": (12.5, 16.0, True, 14.0, 5.0),
    "text": (9.5, 13.0, False, 0.0, 5.0),
    "strong": (9.5, 13.0, True, 0.0, 5.0),
    "name": (9.5, 12.0, True, 7.0, 3.0),
    "cell": (8.0, 10.2, False, 0.0, 0.0),
    "head": (8.0, 10.2, True, 0.0, 0.0),
    "label": (9.0, 12.0, False, 0.0, 0.0),
    "value": (9.0, 12.0, False, 0.0, 0.0),
    "caption": (7.5, 9.2, False, 0.0, 0.0),
}


def paragraph(text: str, name: str, *, right: bool = False) -> Paragraph:
    """Return ``text`` as a paragraph, its own line ends kept, in as many fonts as needed."""
    from reportlab.platypus import Paragraph

    font = BOLD if _SIZES[name][2] else PLAIN
    lines = [_marked(one_line(line), font) for line in text.split("\n")]
    return Paragraph("<br/>".join(lines), style(name, right=right))


def widest_word(text: str, name: str) -> float:
    """Return how wide the widest word of ``text`` is in the style of this name, points."""
    return max((float(paragraph(word, name).minWidth()) for word in text.split()), default=0.0)


@cache
def style(name: str, *, right: bool = False) -> ParagraphStyle:
    """Return the style of this name."""
    from reportlab.lib.colors import HexColor
    from reportlab.lib.enums import TA_LEFT, TA_RIGHT
    from reportlab.lib.styles import ParagraphStyle

    size, leading, bold, before, after = _SIZES[name]
    known_fonts()
    return ParagraphStyle(
        f"{name}{right}", fontName=BOLD if bold else PLAIN, fontSize=size, leading=leading,
        spaceBefore=before, spaceAfter=after, alignment=TA_RIGHT if right else TA_LEFT,
        textColor=HexColor(SOFT_INK if name == "label" else INK), splitLongWords=1,
        allowWidows=0, allowOrphans=0,
    )  # fmt: skip


def chart_fonts(text: str, bold: bool) -> Sequence[tuple[str, str]]:  # noqa: FBT001  (as called)
    """Split a text of a chart into parts, each with its font."""
    return font_runs(text, BOLD if bold else PLAIN)


def known_fonts() -> None:
    """Make the fonts known to reportlab."""
    font_runs(" ", PLAIN)


def _marked(line: str, font: str) -> str:
    return "".join(
        f'<font name="{name}">{escape(part, quote=False)}</font>'
        for name, part in font_runs(line, font)
    )
