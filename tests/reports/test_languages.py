"""Every word of a report is in the catalogue, and the whole of it is told in Spanish."""

from __future__ import annotations

import re

import pypdfium2
import pytest

from spikecheck.language import Language, in_language
from spikecheck.reports.blocks import Table
from spikecheck.reports.html_file import report_html
from spikecheck.reports.pdf_file import report_pdf
from tests.made_up_language import spoken, unmarked

_SPOKEN = re.compile(r'\b(?:alt|aria-label)="([^"]*)"')
_UNREAD = re.compile(r"<(style|script)\b.*?</\1>", re.DOTALL)
_TAG = re.compile(r"<[^>]*>")
DATA = [
    "Ida", "Bo", "Rut", "Ferra", "Olmo", "Ardelle", "Tiefland", "House", "Warm.", "Dry.",
    "It was a palea.", "Seen again: it was.", "A hair.", "The camera was wet.", "florets", "own",
    "Europe/Rome", "--head", "verify", "spikecheck", "Green anther in floret L2.", "SHA-",
]  # fmt: skip


def read(report) -> list[str]:
    """What is read of the HTML file, text by text."""
    html = _UNREAD.sub("", report_html(report).decode())
    return [*_SPOKEN.findall(html), *filter(str.strip, _TAG.split(html))]


def test_every_text_of_a_report_is_in_the_catalogue(session, report_of, monkeypatch):
    with spoken(monkeypatch):
        texts = read(report_of(session))
    assert len(texts) > 100
    # As one: a chart breaks its texts into lines.
    whole = re.sub(r"[0-9a-f]{8,}", "", " ".join(texts))
    assert unmarked([whole], data=DATA) == []


@pytest.mark.parametrize("language", Language)
def test_no_word_of_a_head_is_broken_in_the_pdf(session, report_of, language):
    with in_language(language):
        report = report_of(session)
    document = pypdfium2.PdfDocument(report_pdf(report))
    said = {word for page in document for word in page.get_textpage().get_text_range().split()}
    tables = [one for part in report.sections for one in part.blocks if isinstance(one, Table)]
    assert {word for one in tables for text in one.head for word in text.split()} <= said


def test_in_spanish(session, report_of):
    with in_language(Language.SPANISH):
        said = "\n".join(read(report_of(session)))
    for told in ("Informe de la sesión de cruzamientos", "4 may 2026", "Sin comprobar"):
        assert told in said
