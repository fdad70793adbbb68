"""Sheets are true to size, hold what they should, and refuse what they cannot print."""

from __future__ import annotations

import ctypes

import numpy as np
import pypdfium2
import pytest
import zxingcpp

from spikecheck.errors import TagError, UsageError
from spikecheck.tags import letters_of_the_viewer, letters_without_font, tag_sheets
from spikecheck.tags.lettering import PLAIN, fitted, width_pt
from spikecheck.tags.sheets import CHECK_LINE_MM, PAPERS_MM, ROWS, TAGS_ON_A_SHEET
from spikecheck.vocabulary.tag_code import shown_code
from spikecheck.vocabulary.tag_layout import (
    GREY_STEPS,
    QR,
    QR_MODULE_MM,
    QR_QUIET_MODULES,
    QR_SIDE_MM,
    RULER_LEFT_MM,
    TAG_HEIGHT_MM,
    TAG_WIDTH_MM,
    grey_step,
)
from tests.tags.rendered import cross_tag, first_tag_corner_mm, grey_page, tag_pixels

PX_PER_MM = 20.0
DARK = 128
WHITE = 255
_MARK_ENDS_MM = 5.0  # cut marks end nearer than this to the tags


def text_of(pdf: bytes, number: int = 0) -> str:
    document = pypdfium2.PdfDocument(pdf)
    try:
        return document[number].get_textpage().get_text_bounded()
    finally:
        document.close()


def embedded_fonts(pdf: bytes) -> dict[str, bool]:
    """Fonts that the text of a sheet is set in, and whether the file carries their program."""
    raw, found = pypdfium2.raw, {}
    document = pypdfium2.PdfDocument(pdf)
    try:
        page = document[0]
        for text in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT]):
            font, name = raw.FPDFTextObj_GetFont(text.raw), ctypes.create_string_buffer(100)
            raw.FPDFFont_GetBaseFontName(font, name, 100)
            found[name.value.decode()] = raw.FPDFFont_GetIsEmbedded(font) == 1
    finally:
        document.close()
    return found


def dark_ends(line: np.ndarray) -> tuple[float, float]:
    """Where the dark begins and ends along a row or column, px, half open."""
    dark = np.flatnonzero(line < DARK)
    return float(dark[0]), float(dark[-1] + 1)


def middles_mm(dark: np.ndarray) -> np.ndarray:
    """Middles of the dark stretches of a line that begins and ends light, mm."""
    starts = np.flatnonzero(dark[1:] & ~dark[:-1]) + 1
    ends = np.flatnonzero(~dark[1:] & dark[:-1]) + 1
    return (starts + ends) / 2 / PX_PER_MM


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_page_and_its_check_line_are_true_to_size(paper):
    page = grey_page(tag_sheets([cross_tag()], paper=paper), px_per_mm=PX_PER_MM)
    width, height = PAPERS_MM[paper]
    assert page.shape[1] / PX_PER_MM == pytest.approx(width, abs=0.1)
    assert page.shape[0] / PX_PER_MM == pytest.approx(height, abs=0.1)
    left, top = first_tag_corner_mm(paper)
    line = page[round((top - 8.5) * PX_PER_MM), : round((left + 102) * PX_PER_MM)]
    start, end = dark_ends(line)
    assert start / PX_PER_MM == pytest.approx(left, abs=0.15)
    assert (end - start) / PX_PER_MM == pytest.approx(CHECK_LINE_MM, abs=0.25)  # and its own width


def test_cut_marks_stand_where_the_tags_end():
    tags = [cross_tag(seed) for seed in range(1, TAGS_ON_A_SHEET + 1)]
    page = grey_page(tag_sheets(tags), px_per_mm=PX_PER_MM)
    left, top = first_tag_corner_mm()
    above = page[round((top - 2) * PX_PER_MM)] < DARK
    expected = [left, left + TAG_WIDTH_MM, left + 2 * TAG_WIDTH_MM]
    assert middles_mm(above) == pytest.approx(expected, abs=0.1)
    beside = page[:, round((left - 2) * PX_PER_MM)] < DARK
    expected = [top + row * TAG_HEIGHT_MM for row in range(ROWS + 1)]
    assert middles_mm(beside) == pytest.approx(expected, abs=0.1)


def test_places_without_a_tag_have_no_cut_lines():
    page = grey_page(tag_sheets([cross_tag(seed) for seed in (1, 2, 3)]), px_per_mm=PX_PER_MM)
    left, top = first_tag_corner_mm()
    beside = page[:, round((left - 2) * PX_PER_MM)] < DARK
    expected = [top + row * TAG_HEIGHT_MM for row in range(3)]
    assert middles_mm(beside) == pytest.approx(expected, abs=0.1)
    second_row, right = top + TAG_HEIGHT_MM + 1, left + TAG_WIDTH_MM + 1
    free = page[round((second_row + 5) * PX_PER_MM) :, round((right + _MARK_ENDS_MM) * PX_PER_MM) :]
    assert free.min() == WHITE
    below = page[round((top + 2 * TAG_HEIGHT_MM + _MARK_ENDS_MM) * PX_PER_MM) :]
    assert below.min() == WHITE


def test_the_heading_begins_where_a_printer_can_print():
    for paper in PAPERS_MM:
        page = grey_page(tag_sheets([cross_tag()], paper=paper), px_per_mm=PX_PER_MM)
        inked = np.flatnonzero((page < DARK).any(axis=1)) / PX_PER_MM
        assert 5 < inked[0] < 9


def test_the_pencil_lines_are_long_and_stand_clear_of_names_and_scale():
    """Each line has 27 mm, and nothing but its own word above it; the scale stays 1.5 mm away."""
    tag = tag_pixels(cross_tag(), px_per_mm=PX_PER_MM)
    dark = tag[:, round(60 * PX_PER_MM)] < DARK  # right of every word and name
    feet = [foot for foot in middles_mm(dark) if 10 < foot < 25]
    assert len(feet) == 2
    for foot in feet:
        line = tag[round(foot * PX_PER_MM)] < DARK
        assert (line[: round(65 * PX_PER_MM)]).sum() / PX_PER_MM > 27
        free = tag[round((foot - 4.1) * PX_PER_MM) : round((foot - 0.3) * PX_PER_MM),
                   round(36 * PX_PER_MM) : round(93 * PX_PER_MM)]  # fmt: skip
        assert free.min() == WHITE
    under = tag[round((feet[1] + 0.3) * PX_PER_MM) : round((feet[1] + 1.7) * PX_PER_MM),
                round(36 * PX_PER_MM) :]  # fmt: skip
    assert under[:, : -round(0.5 * PX_PER_MM)].min() == WHITE


def test_the_symbol_is_true_to_size_and_has_its_quiet_zone():
    tag = tag_pixels(cross_tag(), px_per_mm=PX_PER_MM)
    quiet = QR_QUIET_MODULES * QR_MODULE_MM
    row, column = round(QR.top * PX_PER_MM), round(QR.left * PX_PER_MM)
    margin, side = round(quiet * PX_PER_MM), round(QR_SIDE_MM * PX_PER_MM)
    area = tag[row - margin : row + side + margin, column - margin : column + side + margin]
    rows, columns = (np.flatnonzero((area < DARK).any(axis=axis)) for axis in (1, 0))
    for found in (rows, columns):
        assert found[0] == pytest.approx(margin, abs=1)
        assert found[-1] + 1 - found[0] == pytest.approx(side, abs=1.5)


def test_the_ruler_and_the_grey_steps_are_true():
    tag = tag_pixels(cross_tag(), px_per_mm=PX_PER_MM)
    ticks = tag[round(27.3 * PX_PER_MM)] < DARK
    assert middles_mm(ticks) == pytest.approx(RULER_LEFT_MM + np.arange(71), abs=0.06)
    for number, code in enumerate(GREY_STEPS):
        step = grey_step(number)
        rows = slice(round((step.top + 0.3) * 20), round((step.bottom - 0.3) * 20))
        columns = slice(round((step.left + 0.3) * 20), round((step.right - 0.3) * 20))
        assert np.abs(tag[rows, columns].astype(int) - code).max() <= 1


def test_every_symbol_on_a_sheet_says_its_code():
    tags = [cross_tag(seed) for seed in range(1, TAGS_ON_A_SHEET + 1)]
    page = grey_page(tag_sheets(tags), px_per_mm=8)
    read = zxingcpp.read_barcodes(page, formats=zxingcpp.BarcodeFormat.QRCode)
    assert {one.text for one in read} == {tag.code for tag in tags}


@pytest.mark.parametrize(("count", "pages"), [(1, 1), (14, 1), (15, 2), (1000, 72)])
def test_pages_count_right(count, pages):
    pdf = tag_sheets([cross_tag(seed) for seed in range(1, count + 1)], paper="letter")
    assert len(pypdfium2.PdfDocument(pdf)) == pages
    last = text_of(pdf, pages - 1)
    assert f"sheet {pages} of {pages}" in last
    assert last.count("spike ") == count - (pages - 1) * TAGS_ON_A_SHEET


def test_a_tag_says_what_a_person_must_read():
    tag = cross_tag(3, female="Pe\u00f1\u00f3n \u03bc", male="\u0417\u0430\u0440\u044f 7")
    said = text_of(tag_sheets([tag]))
    fields = ["emasculated", "pollinated", "harvested", "initials"]
    names = ["C-014", "spike 3", f"{tag.female} \u00d7 {tag.male}", shown_code(tag.code)]
    for words in names + fields:
        assert words in said
    assert "this line must measure 100 mm" in said
    assert "Print at 100 %" in said


def test_a_decomposed_accent_is_printed_composed():
    assert "Pe\u00f1a" in text_of(tag_sheets([cross_tag(female="Pen\u0303a")]))


def test_chinese_japanese_and_korean_names_are_set_in_the_fonts_pdf_names_for_them():
    tag = cross_tag(female="\u5c0f\u9ea6 3 \u306f\u308b\u304b", male="\ubc00\uac00 2")
    assert letters_without_font([tag]).letters == ""
    pdf = tag_sheets([tag])
    said = text_of(pdf)
    assert "\u5c0f\u9ea6 3" in said
    assert "\ubc00\uac00 2" in said
    for font in (b"STSong-Light", b"HeiseiKakuGo-W5", b"HYGothic-Medium"):
        assert font in pdf


def test_letters_whose_font_is_not_in_the_file_are_told_with_their_tags():
    """The fonts that PDF names for them have no program in the file; those embedded have one."""
    latin = cross_tag(1, female="Pe\u00f1\u00f3n")
    tag = cross_tag(2, female="\u5c0f\u9ea6 3 \u306f", male="\ubc00 2")
    assert letters_of_the_viewer([latin]).letters == ""
    doubt = letters_of_the_viewer([latin, tag])
    assert doubt.letters == "\u306f\u5c0f\u9ea6\ubc00"
    assert doubt.tags == (tag,)
    carried = {"DejaVuSansCondensed": True, "DejaVuSansCondensed-Bold": True}
    missing = {"STSong-Light": False, "HeiseiKakuGo-W5": False, "HYGothic-Medium": False}
    assert embedded_fonts(tag_sheets([latin])) == carried
    assert embedded_fonts(tag_sheets([tag])) == carried | missing


def test_letters_that_would_come_out_wrong_are_boxes_and_are_told():
    arabic, hebrew, hieroglyph = "\u0642\u0645\u062d", "\u05d7\u05d8\u05d4", "\U00013000"
    tag = cross_tag(female=arabic, male=f"{hebrew} 1 {hieroglyph}")
    doubt = letters_without_font([cross_tag(2), tag])
    assert doubt.letters == "".join(sorted("\u0642\u0645\u062d\u05d7\u05d8\u05d4\U00013000"))
    assert doubt.tags == (tag,)
    said = text_of(tag_sheets([tag]))
    assert "\u25a1\u25a1\u25a1 \u00d7 \u25a1\u25a1\u25a1 1 \u25a1" in said
    assert "\u0642" not in said


def test_names_that_do_not_fit_end_in_an_ellipsis_and_stay_in_their_room():
    long = cross_tag(cross="C" * 80, female="Female " * 20, male="Male " * 3000)
    page = tag_pixels(long, px_per_mm=PX_PER_MM)
    assert text_of(tag_sheets([long])).count("\u2026") == 3
    right = round((TAG_WIDTH_MM - 2.9) * PX_PER_MM)
    first_lines = page[round(1 * PX_PER_MM) : round(12 * PX_PER_MM), right:-5]
    assert first_lines.min() > DARK


@pytest.mark.parametrize("long", [f"{'Far too long a name ' * 3}{n * 'i'}" for n in range(6)])
def test_beside_a_name_that_does_not_fit_a_short_one_is_printed_whole(long):
    assert "\u2026 \u00d7 Brinn" in text_of(tag_sheets([cross_tag(female=long, male="Brinn")]))
    assert "Brinn \u00d7 Far too" in text_of(tag_sheets([cross_tag(female="Brinn", male=long)]))


@pytest.mark.parametrize("text", ["", "short", "a name of middling length", "W" * 400])
def test_fitted_text_fits(text):
    shown, size = fitted(text, PLAIN, 10, room_pt=100, least_pt=6)
    assert width_pt(shown, PLAIN, size) <= 100
    assert 6 <= size <= 10
    assert shown == text or shown.endswith("\u2026")


def test_line_breaks_and_control_characters_become_blanks():
    said = text_of(tag_sheets([cross_tag(female="L1\nL2\x07L3")]))
    assert "L1 L2 L3 \u00d7 L31" in said


def test_the_same_tags_give_the_same_file():
    tags = [cross_tag(1), cross_tag(2)]
    assert tag_sheets(tags) == tag_sheets(tags)


def test_the_viewer_is_asked_not_to_scale():
    assert b"/PrintScaling /None" in tag_sheets([cross_tag()])


@pytest.mark.parametrize(
    ("tags", "paper", "error", "told"),
    [
        ([], "a4", UsageError, "no tag to print"),
        ([cross_tag()], "a5", UsageError, r"'a5' is no paper .* Choose a4 or letter"),
        ([cross_tag(), cross_tag()], "a4", TagError, "is to be printed 2 times"),
    ],
)
def test_what_cannot_be_printed_is_refused(tags, paper, error, told):
    with pytest.raises(error, match=told):
        tag_sheets(tags, paper=paper)


def test_a_code_whose_check_character_is_wrong_is_not_printed():
    tag = cross_tag()
    wrong = type(tag)(tag.code[1:] + tag.code[0], tag.cross, tag.female, tag.male, tag.spike)
    with pytest.raises(TagError, match="its last character does not fit"):
        tag_sheets([wrong])
