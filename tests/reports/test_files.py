"""Both files of a report, read by programs that did not make them."""

from __future__ import annotations

import io
import re
import unicodedata
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from PIL import Image

from spikecheck.language import Language, in_language
from spikecheck.reports import report_files
from spikecheck.reports.blocks import Section, Table, Text
from spikecheck.reports.html_file import report_html
from spikecheck.reports.pdf_file import report_pdf
from spikecheck.vocabulary import CrossingSession, Step, Verdict
from spikecheck.vocabulary.steps import Bagged, Emasculated
from tests.audited_session import build_session
from tests.plans import planned
from tests.reports.conftest import MADE, NASTY, SESSION, START, ZONE

# HTML Living Standard, 13.1.2: elements that have no end tag.


def noise(width, height, seed):
    """Return a JPEG file of random pixels."""
    pixels = np.random.default_rng(seed).integers(0, 255, (height, width, 3), np.uint8)
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, "JPEG", quality=95)
    return file.getvalue()


VOID = {"meta", "img", "br", "link", "input", "hr"}
A4_PT = (595.28, 841.89)


class Page(HTMLParser):
    """The elements of an HTML file, and whether each is closed where it must be."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.open, self.elements, self.said, self.wrong = [], [], [], []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)

    def handle_data(self, data):
        if not self.open or self.open[-1] != "style":
            self.said.append(data)

    def of(self, tag):
        return [attributes for name, attributes in self.elements if name == tag]


@pytest.fixture
def files(session):
    return report_files(session, SESSION, by="Rut", zone=ZONE, at=MADE)


@pytest.fixture
def hostile(store, checked):
    """A session in which every text that a person gives is hostile."""
    store.plans.add(planned(NASTY[:40], NASTY, f"=cmd|' /C calc'!A0 {NASTY}", note=NASTY))
    people = (NASTY, "=HYPERLINK(1)", "\u05d0\u05d1\u05d2", "Ng\u1ecdc \u0141")
    store.sessions.add(CrossingSession("<b>&", date(2026, 5, 4), NASTY, people, NASTY * 20))
    for spike in (1, 2):
        store.spikes.add(
            NASTY[:40], spike, Step(Emasculated(20, 60, NASTY), START, NASTY, "<b>&", NASTY)
        )
    number = checked(store, NASTY[:40], 1, Verdict.REVIEW, minutes=1, by=NASTY)
    store.override(number, NASTY, "<img src=x onerror=alert(1)>\n" * 130, Verdict.PASS)
    store.spikes.add(NASTY[:40], 2, Step(Bagged((NASTY + " ") * 19), START, NASTY))
    return store


def text_of(pdf):
    with pypdfium2.PdfDocument(pdf) as document:
        return "\n".join(document[k].get_textpage().get_text_range() for k in range(len(document)))


def fonts_of(pdf):
    """Return whether each font that text is set in is embedded, by name (PDFium)."""
    fonts = {}
    with pypdfium2.PdfDocument(pdf) as document:
        for k in range(len(document)):
            for thing in document[k].get_objects(filter=[pdfium.FPDF_PAGEOBJ_TEXT], max_depth=6):
                font = pdfium.FPDFTextObj_GetFont(thing)
                name = bytearray(200)
                length = pdfium.FPDFFont_GetBaseFontName(
                    font, (pdfium.c_char * 200).from_buffer(name), 200
                )
                fonts[bytes(name[: length - 1]).decode()] = bool(
                    pdfium.FPDFFont_GetIsEmbedded(font)
                )
    return fonts


def test_the_pdf_is_a4_told_and_its_text_can_be_found(files):
    with pypdfium2.PdfDocument(files.pdf) as document:
        told = document.get_metadata_dict()
        pages = len(document)
        for k in range(pages):
            assert document[k].get_size() == pytest.approx(A4_PT, abs=0.01)
            assert f"Page {k + 1} of {pages}" in document[k].get_textpage().get_text_range()
    assert told["Title"] == f"Report of crossing session {SESSION}"
    assert told["Author"].startswith("spikecheck ")
    assert told["CreationDate"] == "D:20260505073000Z"
    assert b"/Lang (en)" in files.pdf
    text = text_of(files.pdf)
    for words in ("House 2", "It was a palea.", "The camera was wet.", "Overrides", "C-1/3"):
        assert words in text
    assert "empty boxes" not in text


def test_every_font_is_embedded(files):
    fonts = fonts_of(files.pdf)
    assert len(fonts) >= 2
    assert all(fonts.values()), fonts
    assert all("DejaVu" in name for name in fonts)


def test_the_same_records_give_the_same_files(session, files):
    again = report_files(session, SESSION, by="Rut", zone=ZONE, at=MADE)
    assert again == files


def test_the_web_page_stands_alone_and_is_whole(files):
    text = files.html.decode()
    page = Page(text)
    assert text.startswith("<!DOCTYPE html>")
    assert (page.wrong, page.open) == ([], [])
    assert page.of("html") == [{"lang": "en"}]
    assert [name for name, _ in page.elements if name in {"h1", "main", "title"}].count("h1") == 1
    ids = [attributes["id"] for _, attributes in page.elements if "id" in attributes]
    assert len(ids) == len(set(ids))
    for attributes in page.of("section"):
        assert attributes["aria-labelledby"] in ids
    assert {"script", "link", "iframe", "object", "form"}.isdisjoint(
        name for name, _ in page.elements
    )
    images = page.of("img")
    assert len(images) == 10
    assert all(one["src"].startswith("data:image/jpeg;base64,") and one["alt"] for one in images)
    # The only address is the name of the language that charts are written in.
    assert set(re.findall(r"[a-z]+://[^\"' >]+", text)) == {"http://www.w3.org/2000/svg"}
    assert "url(" not in text
    assert "@import" not in text


def test_both_files_say_the_same(files):
    html = "".join(Page(files.html.decode()).said)
    squeezed = "".join(text_of(files.pdf).split())
    for words in ("Seen again: it was.", "Green anther in floret L2.", "florets 3", "C-2/1"):
        assert words in html
        assert "".join(words.split()) in squeezed


def test_hostile_texts_stay_texts(hostile):
    made = report_files(hostile, "<b>&", by=NASTY, zone=ZONE, at=MADE)
    page = Page(made.html.decode())
    assert (page.wrong, page.open) == ([], [])
    assert {"script", "b"}.isdisjoint(name for name, _ in page.elements)
    assert all("onerror" not in attributes for _, attributes in page.elements)
    said = "".join(page.said)
    for words in (NASTY, "=HYPERLINK(1)", "<img src=x onerror=alert(1)>"):
        assert unicodedata.normalize("NFC", words) in said
    text = text_of(made.pdf)
    assert "<script>alert(1)</script>" in text.replace("\r\n", "")
    assert "=HYPERLINK(1)" in text
    assert made.name == "session__b__"


def test_the_pdf_tells_which_letters_it_lacks(hostile):
    text = " ".join(text_of(report_files(hostile, "<b>&", by="", zone=ZONE, at=MADE).pdf).split())
    assert "they are printed as empty boxes" in text
    for letter in ("\u05d0", "\u0645", "\U0001f33e"):
        assert f"U+{ord(letter):04X}" in text
    assert "1 letter is left to the fonts of the program that shows this file" in text
    assert "U+674E" in text


def test_two_hundred_spikes_stay_within_bounds(store):
    # Noise is what shrinks worst; every picture is another file.
    pictures = [noise(150, 300, seed) for seed in range(2)]
    build_session(
        store, count=200, faces=2,
        pictures=lambda spike, face: (f"{spike}/{face}".encode(), pictures[face]),
    )  # fmt: skip
    told = []
    made = report_files(
        store, SESSION, by="", zone=ZONE, at=MADE, on_progress=lambda *one: told.append(one)
    )
    assert told[-1] == (400, 400)
    assert len(made.pdf) < 12_000_000
    assert len(made.html) < 12_000_000
    with pypdfium2.PdfDocument(made.pdf) as document:
        assert 20 < len(document) < 60


def test_no_heading_stands_alone_at_the_foot_of_a_page(report_of, session):
    """However far down it falls, a heading has the beginning of its table with it."""
    report = report_of(session)
    table = Table("Rows", ("Name", "Value"), tuple((f"row {k}", "v") for k in range(3)), (1, 1))
    for lines in range(30, 62, 2):
        pages = report_pdf(
            replace(
                report,
                sections=(
                    Section("Before", tuple(Text(f"line {k}") for k in range(lines))),
                    Section("Heading", (table,)),
                ),
            )
        )
        with pypdfium2.PdfDocument(pages) as document:
            texts = [document[k].get_textpage().get_text_range() for k in range(len(document))]
        (with_heading,) = [text for text in texts if "Heading" in text]
        assert "row 0" in with_heading


def test_spanish_is_told_to_browsers_and_readers(session):
    with in_language(Language.SPANISH):
        made = report_files(session, SESSION, by="", zone=ZONE, at=MADE)
    assert b"/Lang (es)" in made.pdf
    assert Page(made.html.decode()).of("html") == [{"lang": "es"}]


def test_what_no_html_file_may_hold_is_left_out(report_of, session):
    report = replace(report_of(session), title="a\x00b\x1b[31m\u202ec")
    assert "<title>ab[31mc</title>" in report_html(report).decode()
