"""The parts of a report as reportlab lays them out."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

from spikecheck.charts import drawing
from spikecheck.reports.blocks import Facts, Figure, Pictures, Table, Text
from spikecheck.reports.pdf_text import RULE, SHADE, chart_fonts, paragraph, widest_word

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.graphics.shapes import Drawing
    from reportlab.platypus import Flowable
    from reportlab.platypus import Table as Grid

    from spikecheck.reports.blocks import Block, Section, Shot

_LABEL_SHARE = 0.27
_CHART_LAID_PT, _CHART_SHOWN = 560.0, 0.75  # its text of 12 pt is shown as of 9 pt
_PICTURES_ACROSS = 4
_PICTURE_HEIGHT_PT = 150.0
_GAP_PT = 8.0
_CELL_PADDING_PT = 3.0
_HEADING_PT = 40.0
_LEAST_PT = {Text: 30.0, Facts: 50.0, Table: 80.0, Pictures: 190.0}  # before a page may end


def section_flowables(section: Section, width: float) -> Iterator[Flowable]:
    """Return a section, its heading never alone at the foot of a page.

    Parameters
    ----------
    section
        What to lay out.
    width
        Of the frame, points.
    """
    from reportlab.platypus import CondPageBreak

    least = sum(_least(block) for block in section.blocks[:1])
    yield CondPageBreak(_HEADING_PT + least)
    yield paragraph(section.heading, "heading")
    for block in section.blocks:
        yield from _flowables(block, width)


def _flowables(block: Block, width: float) -> Iterator[Flowable]:
    from reportlab.platypus import CondPageBreak, Spacer

    if isinstance(block, Text):
        yield paragraph(block.text, "strong" if block.strong else "text")
    elif isinstance(block, Facts):
        yield _facts(block, width)
        yield Spacer(1, _GAP_PT)
    elif isinstance(block, Table):
        if block.named:
            yield CondPageBreak(_least(block))
            yield paragraph(block.name, "name")
        yield _table(block, width)
        yield Spacer(1, _GAP_PT)
    elif isinstance(block, Figure):
        yield CondPageBreak(_least(block))
        yield Spacer(1, _GAP_PT)
        yield _chart(block)
        yield paragraph(block.chart.told, "text")
    else:
        yield _pictures(block, width)
        yield Spacer(1, _GAP_PT)


def _least(block: Block) -> float:
    """Return how much of a block stands together at least, points."""
    if isinstance(block, Figure):
        return float(_chart(block).height) + 3 * _GAP_PT + 30
    return _LEAST_PT[type(block)]


def _chart(block: Figure) -> Drawing:
    made = drawing(block.chart, width=_CHART_LAID_PT, fonts=chart_fonts)
    made.scale(_CHART_SHOWN, _CHART_SHOWN)
    made.width, made.height = _CHART_SHOWN * made.width, _CHART_SHOWN * made.height
    return made


def _facts(block: Facts, width: float) -> Grid:
    cells = [[paragraph(name, "label"), paragraph(value, "value")] for name, value in block.pairs]
    return _grid(
        cells,
        [_LABEL_SHARE * width, (1 - _LABEL_SHARE) * width],
        [("LEFTPADDING", (0, 0), (0, -1), 0), ("TOPPADDING", (0, 0), (-1, -1), 1)],
    )


def _table(block: Table, width: float) -> Grid:
    from reportlab.lib.colors import HexColor

    last = len(block.rows) - 1
    cells = [[_cell(block, text, at, "head") for at, text in enumerate(block.head)]]
    cells += [
        [
            _cell(block, text, at, "head" if block.total and number == last else "cell")
            for at, text in enumerate(row)
        ]
        for number, row in enumerate(block.rows)
    ]
    looks: list[tuple[object, ...]] = [
        ("BACKGROUND", (0, 0), (-1, 0), HexColor(SHADE)),
        ("LINEBELOW", (0, 0), (-1, -1), 0.4, HexColor(RULE)),
    ]
    return _grid(cells, _widths(block, width), looks, heads=1)


def _widths(block: Table, width: float) -> list[float]:
    """Return how wide each column is, points: no word of the head is broken, if there is room."""
    least = [widest_word(text, "head") + 2 * _CELL_PADDING_PT for text in block.head]
    spare = width - sum(least)
    if spare <= 0:
        least, spare = [0.0] * len(least), width
    unit = width / sum(block.shares)
    # What a column has beyond its least word is what the others can take from.
    wanted = [
        max(share * unit - floor, 0.0) for share, floor in zip(block.shares, least, strict=True)
    ]
    return [floor + spare * want / sum(wanted) for floor, want in zip(least, wanted, strict=True)]


def _cell(block: Table, text: str, column: int, name: str) -> Flowable:
    return paragraph(text, name, right=column in block.numbers)


def _pictures(block: Pictures, width: float) -> Grid:
    across = width / _PICTURES_ACROSS
    cells: list[list[object]] = []
    for begin in range(0, len(block.shots), _PICTURES_ACROSS):
        row = block.shots[begin : begin + _PICTURES_ACROSS]
        shots: list[object] = [_shot(one, across - _GAP_PT) for one in row]
        cells.append(shots + [""] * (_PICTURES_ACROSS - len(row)))
    return _grid(cells, [across] * _PICTURES_ACROSS, [("VALIGN", (0, 0), (-1, -1), "BOTTOM")])


def _shot(shot: Shot, room: float) -> list[Flowable]:
    from reportlab.platypus import Image, Spacer

    if not shot.jpeg:
        return [paragraph(shot.told, "caption")]
    scale = min(room / shot.width, _PICTURE_HEIGHT_PT / shot.height)
    image = Image(
        BytesIO(shot.jpeg), width=scale * shot.width, height=scale * shot.height, hAlign="LEFT"
    )
    return [image, Spacer(1, 2), paragraph(shot.caption, "caption")]


def _grid(
    cells: list[list[object]], widths: list[float], looks: list[tuple[object, ...]], heads: int = 0
) -> Grid:
    from reportlab.platypus import Table as Grid

    plain: list[tuple[object, ...]] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), _CELL_PADDING_PT),
        ("RIGHTPADDING", (0, 0), (-1, -1), _CELL_PADDING_PT),
        ("TOPPADDING", (0, 0), (-1, -1), 2.2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2.6),
    ]
    # A row with a long reason goes on on the next page.
    return Grid(
        cells, colWidths=widths, style=[*plain, *looks], repeatRows=heads, hAlign="LEFT",
        splitInRow=1,
    )  # fmt: skip
