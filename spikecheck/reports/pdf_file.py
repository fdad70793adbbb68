"""A report as a PDF file for the file: A4, text that can be searched, fonts embedded."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

from spikecheck.language import _, ngettext
from spikecheck.reports.blocks import Section, Text
from spikecheck.reports.lettering import texts_of
from spikecheck.reports.pdf_blocks import section_flowables
from spikecheck.reports.pdf_text import RULE, SOFT_INK, known_fonts, paragraph
from spikecheck.tags.lettering import PLAIN, doubtful_letters, fitted, write

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.pdfgen.canvas import Canvas
    from reportlab.platypus import Flowable

    from spikecheck.reports.blocks import Report

_MM = 72 / 25.4
_PAGE = (210 * _MM, 297 * _MM)  # A4, ISO 216
_SIDE, _TOP, _BOTTOM = 18 * _MM, 22 * _MM, 20 * _MM
_WIDTH = _PAGE[0] - 2 * _SIDE
_SMALL_PT, _LEAST_PT = 8.0, 6.0


def report_pdf(report: Report) -> bytes:
    """Return a report as a PDF file; the same, byte by byte, for the same report.

    Letters that no font here has are printed as empty boxes, and the first lines say which.
    """
    from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

    known_fonts()
    target = BytesIO()
    document = BaseDocTemplate(
        target, pagesize=_PAGE, title=report.title, author=report.author, creator=report.author,
        subject=report.running, lang=report.language, invariant=1, pageCompression=1,
    )  # fmt: skip
    frame = Frame(
        _SIDE, _BOTTOM, _WIDTH, _PAGE[1] - _TOP - _BOTTOM, leftPadding=0, rightPadding=0,
        topPadding=0, bottomPadding=0,
    )  # fmt: skip
    document.addPageTemplates([PageTemplate("page", [frame])])
    document.build(list(_flowables(report)), canvasmaker=_canvas_class(report))
    return target.getvalue()


def _flowables(report: Report) -> Iterator[Flowable]:
    yield paragraph(report.title, "title")
    # First, so that nobody wonders about the boxes that come after.
    note = _letters_note(report)
    for section in (*([note] if note else []), *report.sections):
        yield from section_flowables(section, _WIDTH)


def _letters_note(report: Report) -> Section | None:
    """Return what is to be said of letters that may not be read in this file."""
    boxes, foreign = doubtful_letters(texts_of(report))
    if not boxes and not foreign:
        return None
    blocks: list[Text] = []
    if boxes:
        blocks.append(
            Text(
                ngettext(
                    "The fonts of this file lack {n} letter of the names and texts: it is printed "
                    "as an empty box (Unicode {codes}). The HTML file shows it.",
                    "The fonts of this file lack {n} letters of the names and texts: they are "
                    "printed as empty boxes (Unicode {codes}). The HTML file shows them.",
                    len(boxes),
                ).format(n=len(boxes), codes=_codes(boxes))
            )
        )
    if foreign:
        blocks.append(
            Text(
                ngettext(
                    "{n} letter is left to the fonts of the program that shows this file; where "
                    "it lacks it the place stays blank (Unicode {codes}). The HTML file shows it.",
                    "{n} letters are left to the fonts of the program that shows this file; where "
                    "it lacks them they stay blank (Unicode {codes}). The HTML file shows them.",
                    len(foreign),
                ).format(n=len(foreign), codes=_codes(foreign))
            )
        )
    return Section(_("Letters"), tuple(blocks))


def _codes(letters: str, most: int = 40) -> str:
    told = " ".join(f"U+{ord(letter):04X}" for letter in letters[:most])
    return told + (" \N{HORIZONTAL ELLIPSIS}" if len(letters) > most else "")


def _canvas_class(report: Report) -> type[Canvas]:
    """Return a canvas that writes head and foot once it knows how many pages there are."""
    from reportlab.lib.colors import HexColor
    from reportlab.pdfgen.canvas import Canvas

    class Numbered(Canvas):
        """Keeps each page until the last one is made."""

        def __init__(self, *words: object, **options: object) -> None:
            super().__init__(*words, **options)
            # Without it the same report would differ by the second in which it was made.
            self.setDateFormatter(lambda *_moment: report.made)
            self._kept: list[dict[str, object]] = []

        def showPage(self) -> None:  # noqa: N802  (reportlab's name)
            self._kept.append(dict(self.__dict__))
            self._startPage()

        def save(self) -> None:
            for number, page in enumerate(self._kept, start=1):
                self.__dict__.update(page)
                self._head_and_foot(number, len(self._kept))
                super().showPage()
            super().save()

        def _head_and_foot(self, number: int, pages: int) -> None:
            self.setFillColor(HexColor(SOFT_INK))
            self.setStrokeColor(HexColor(RULE))
            self.setLineWidth(0.4)
            head, foot = _PAGE[1] - 14 * _MM, 12 * _MM
            room = _WIDTH * 0.75
            text, size = fitted(report.running, PLAIN, _SMALL_PT, room_pt=room, least_pt=_LEAST_PT)
            write(self, (_SIDE, head), text, size_pt=size)
            self.line(_SIDE, head - 4, _PAGE[0] - _SIDE, head - 4)
            count = _("Page {number} of {pages}").format(number=number, pages=pages)
            self.setFont(PLAIN, _SMALL_PT)
            self.drawRightString(_PAGE[0] - _SIDE, foot, count)
            write(self, (_SIDE, foot), report.author, size_pt=_SMALL_PT)

    return Numbered
