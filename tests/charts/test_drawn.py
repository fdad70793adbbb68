"""Charts as SVG and PDF: what is drawn, where, and that nothing in a name is markup."""

from __future__ import annotations

import sys
import unicodedata
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree as ET

import pypdfium2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reportlab.graphics import renderPDF

from spikecheck.charts import Chart, Series, drawing, looks, svg, values
from spikecheck.charts.layout import picture
from spikecheck.charts.shapes import Anchor, Area, Line, Ring, Words
from spikecheck.language import Language, in_language

sys.path.insert(0, str(Path(__file__).parent))
from charts import EMPTY, EVERY, GAPS, SHARES, STEPS

TITLES = [chart.title for chart in EVERY]
SVG = "{http://www.w3.org/2000/svg}"


def shapes(chart, kind):
    return [shape for shape in picture(chart).shapes if isinstance(shape, kind)]


def texts(chart):
    return [words.text for words in shapes(chart, Words)]


@pytest.mark.parametrize("chart", EVERY, ids=TITLES)
def test_the_picture_is_told_and_reaches_nothing_outside(chart):
    tree = ET.fromstring(svg(chart))
    assert tree.tag == f"{SVG}svg"
    assert tree.get("role") == "img"
    assert tree.get("aria-label") == chart.title
    assert tree.findtext(f"{SVG}title") == chart.title
    assert tree.findtext(f"{SVG}desc") == chart.told
    used = {node.tag.removeprefix(SVG) for node in tree.iter()}
    assert used <= {"svg", "title", "desc", "polyline", "polygon", "circle", "text"}
    names = {name for node in tree.iter() for name in node.attrib}
    assert not names & {"id", "href", "style", "onload", "class"}


@pytest.mark.parametrize("chart", EVERY, ids=TITLES)
@pytest.mark.parametrize("width", [360, 480, 640])
def test_everything_lies_within_the_picture(chart, width):
    laid = picture(chart, width)
    for shape in laid.shapes:
        for x, y in getattr(shape, "places", None) or [
            getattr(shape, "centre", None) or shape.place
        ]:
            assert -0.01 <= x <= width + 0.01
            assert -0.01 <= y <= laid.height + 0.01


def test_the_same_words_stand_in_the_pdf():
    for chart in EVERY:
        target = BytesIO()
        renderPDF.drawToFile(drawing(chart), target)
        page = pypdfium2.PdfDocument(target.getvalue())[0]
        read = page.get_textpage().get_text_range()
        laid = picture(chart, 480)
        assert page.get_size() == pytest.approx((laid.width, laid.height))
        for words in laid.shapes:
            if isinstance(words, Words) and words.text.isascii() and not words.turned:
                assert words.text in read


def luminance(colour):
    """Relative luminance (WCAG 2.2, "relative luminance")."""
    parts = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    linear = [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other):
    """Contrast ratio (WCAG 2.2, "contrast ratio")."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_contrast_with_paper_and_bands():
    """WCAG 2.2: 1.4.6 asks 7:1 of text, 1.4.11 asks 3:1 of what must be seen."""
    for behind in (looks.PAPER, looks.BAND_FILL):
        assert contrast(looks.INK, behind) >= 7
        for look in looks.LOOKS:
            assert contrast(look.colour, behind) >= 7
        assert contrast(looks.FLAG, behind) >= 3
        assert contrast(looks.BAND_EDGE, behind) >= 3


def test_series_differ_in_more_than_colour():
    assert len({look.dash for look in looks.LOOKS}) == len(looks.LOOKS)
    assert len({look.corners for look in looks.LOOKS}) == len(looks.LOOKS)


def test_a_flagged_point_has_a_ring_of_its_own():
    rings = [ring for ring in shapes(SHARES, Ring) if ring.radius == looks.FLAG_RADIUS]
    (flagged,) = rings
    marks = [ring.centre for ring in shapes(SHARES, Ring) if ring.radius == looks.MARK_RADIUS]
    assert flagged.centre in marks
    assert flagged.centre[1] == min(y for _x, y in marks[1:])  # the highest; the first is the key's


def test_a_point_without_a_value_is_a_gap_in_line_and_band():
    lines = [line for line in shapes(GAPS, Line) if line.colour == looks.LOOKS[0].colour]
    assert [len(line.places) for line in lines] == [2, 2]  # the key's sample, and 3 to 4
    assert len([ring for ring in shapes(GAPS, Ring) if ring.radius == looks.MARK_RADIUS]) == 1
    fills = [area for area in shapes(GAPS, Area) if area.fill == looks.BAND_FILL and not area.edge]
    assert [len(area.places) for area in fills] == [2, 2]


def test_a_stepped_line_runs_level_and_upright_only():
    stepped = [line for line in shapes(STEPS, Line) if line.colour == looks.LOOKS[2].colour][-1]
    assert len(stepped.places) == 21
    for (x1, y1), (x2, y2) in pairwise(stepped.places):
        assert x1 == x2 or y1 == y2


def test_names_and_levels_are_written():
    said = texts(SHARES)
    assert {"Bo Holm", "Ida Berg", "Zoë", "Technician", "Explained by chance"} <= set(said)
    assert "All together" in said
    assert "No values yet" in texts(EMPTY)
    beside = next(words for words in shapes(SHARES, Words) if words.text == "All together")
    assert beside.anchor is Anchor.START
    assert beside.place[0] > max(x for line in shapes(SHARES, Line) for x, _y in line.places)


def test_the_key_tells_bands_and_series_by_name():
    assert [name for name in texts(STEPS) if name.startswith("Plan")] == [
        "Plan 1", "Plan 2", "Plan 3", "Plan 4", "Plan 5",
    ]  # fmt: skip


def test_many_long_names_stay_apart():
    chart = Chart(
        "Days", "Told.", "Day", "Bad",
        (Series("", tuple((k, 0.1) for k in range(40)), marked=True),),
        y_percent=True, x_names=tuple(f"{k + 1} May 2026" for k in range(40)),
    )  # fmt: skip
    slanted = [words for words in shapes(chart, Words) if words.turned]
    assert 4 < len(slanted) < 40
    steps = [b.place[0] - a.place[0] for a, b in pairwise(slanted)]
    assert min(steps) * 0.7 >= looks.TEXT


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=30), st.lists(st.text(max_size=60), min_size=1, max_size=6))
def test_any_text_gives_a_picture_that_can_be_read(title, names):
    points = tuple((k, k / 7) for k in range(len(names)))
    chart = Chart(
        title, title, title, title, (Series(title, points, flagged=(0,)),), x_names=tuple(names)
    )
    tree = ET.fromstring(svg(chart))
    assert {node.tag.removeprefix(SVG) for node in tree.iter()} <= {
        "svg", "title", "desc", "polyline", "polygon", "circle", "text",
    }  # fmt: skip
    said = "".join(node.text or "" for node in tree.iter())
    assert not any(unicodedata.category(letter) in {"Cc", "Cf", "Cs"} for letter in said)


def test_the_same_chart_is_drawn_the_same_byte_by_byte():
    assert svg(SHARES) == svg(SHARES)


def test_values_for_those_who_cannot_see_it():
    table = values(SHARES)
    assert table.head == (
        "Technician", "Share", "Explained by chance, from", "Explained by chance, to",
    )  # fmt: skip
    assert table.rows[1] == ("Ida Berg", "18.0 %, stands out", "0.0 %", "12.0 %")
    assert table.rows[-1] == ("All together", "4.5 %", "", "")
    assert values(GAPS).rows[1] == ("2", "", "0.600", "")
    assert values(EMPTY).rows == ()
    with in_language(Language.SPANISH):
        assert "4,5\N{NO-BREAK SPACE}%" in values(SHARES).rows[-1]
