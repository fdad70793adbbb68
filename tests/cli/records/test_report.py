"""`spikecheck report`: whole files, refused before the work where they would be refused after."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pypdfium2
import pytest

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path


@pytest.fixture
def session(done: Callable[..., str], cross: None) -> None:
    """The session S-1 with one spike of C-1."""
    done("session", "add", "S-1", "--place", "House 2", "--person", "AB")
    done(
        "record", "emasculated", "C-1/1", "--florets", 20, "--anthers", 60, "--session", "S-1",
    )  # fmt: skip


def test_both_files_are_written_and_nothing_else(session, done, folder: Path):
    said = done("report", "S-1", "--pdf", "one.pdf", "--html", "one.html", "--language", "es")
    assert re.match(r"one\.pdf: [1-9][\d.]* kB\n", said)
    assert {path.name for path in folder.iterdir()} == {"records", "one.pdf", "one.html"}
    html = (folder / "one.html").read_text("utf-8")
    assert '<html lang="es">' in html
    assert "AB" in html
    with pypdfium2.PdfDocument(folder / "one.pdf") as document:
        assert len(document) >= 1


def test_a_file_that_is_there_is_kept_unless_it_may_be_replaced(session, done, refused, folder):
    kept = folder / "one.pdf"
    kept.write_bytes(b"mine")
    line = refused("report", "S-1", "--html", "one.html", "--pdf", "one.pdf")
    assert "is there already" in line
    assert kept.read_bytes() == b"mine"
    assert not (folder / "one.html").exists()
    done("report", "S-1", "--pdf", "one.pdf", "--replace")
    assert kept.read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("S-1",), "no file is named"),
        (("S-9", "--pdf", "one.pdf"), "no session S-9"),
        (("S-1", "--pdf", "one", "--html", "one"), "same name"),
        (("S-1", "--pdf", "."), "is a folder"),
        (("S-1", "--pdf", "missing/one.pdf"), "cannot be written"),
        (("S-1", "--pdf", "one.pdf", "--language", "fr"), "the language fr"),
    ],
)
def test_what_cannot_be_done_is_refused_and_leaves_nothing(session, refused, folder, words, told):
    assert told in refused("report", *words)
    assert {path.name for path in folder.iterdir()} == {"records"}
