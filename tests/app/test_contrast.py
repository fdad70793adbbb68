"""Readable in sunlight: text at least 7:1 on what lies behind it, signs at least 3:1.

The thresholds of WCAG 2.2, 1.4.6 (contrast, enhanced) and 1.4.11 (graphics). Checked against
the extremes that the definition names, 21:1 and 1:1, and grey #767676 on white, 4.54:1, the
lightest that W3C's note on success criterion 1.4.3 gives for 4.5:1 (from memory).
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from spikecheck.cli.serving import Serving, server_command
from spikecheck.imaging.marks import INK, MARKS, PAPER, RIM, VERDICT_COLOURS, VERMILLION
from spikecheck.imaging.spike_map import BODY, SHEET
from spikecheck.vocabulary import Verdict
from tests.contrast import contrast
from widgets.bench_style import BLUE, TEXT, WHITE
from widgets.plain import Tone
from widgets.style import FAINT, show_style

TEXT_LEAST, SIGN_LEAST = 7.0, 3.0


def over(top, under, share: float):
    """``top`` laid over ``under`` with this opacity."""
    return tuple(share * a + (1 - share) * b for a, b in zip(top, under, strict=True))


def of_hex(text: str):
    return tuple(int(text[at : at + 2], 16) for at in (1, 3, 5))


def test_the_formula_gives_the_known_values():
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21)
    assert contrast((9, 9, 9), (9, 9, 9)) == 1
    assert contrast(of_hex("#767676"), WHITE) == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("verdict", Verdict)
def test_the_verdict_reads_in_sunlight(verdict):
    assert contrast(RIM, VERDICT_COLOURS[verdict]) >= TEXT_LEAST


@pytest.mark.parametrize("tone", Tone)
def test_notices_read_in_sunlight(tone):
    _, shade, _ = tone.value
    ground = over(of_hex(shade), WHITE, 0x14 / 255)
    assert contrast(TEXT, ground) >= TEXT_LEAST
    assert contrast(of_hex(shade), ground) >= TEXT_LEAST


def test_what_is_tapped_reads_in_sunlight():
    assert contrast(WHITE, BLUE) >= TEXT_LEAST
    chosen = next(
        word
        for word in server_command(Path("x"), "127.0.0.1", Serving(1, lan=False))
        if "primaryColor" in word
    )
    assert of_hex(chosen.rpartition("=")[2]) == BLUE


def test_small_and_faint_texts_read_in_sunlight(monkeypatch):
    styles: list[str] = []
    monkeypatch.setattr("widgets.style.st.html", styles.append)
    show_style()
    shares = [float(share) for share in re.findall(r"opacity: ([\d.]+)", styles[0])]
    assert shares
    for share in [*shares, FAINT]:
        assert contrast(over(TEXT, WHITE, share), WHITE) >= TEXT_LEAST


def test_keys_beside_the_words_of_buttons_are_as_dark_as_the_words(monkeypatch):
    styles: list[str] = []
    monkeypatch.setattr("widgets.style.st.html", styles.append)
    show_style()
    assert '[data-testid="stApp"] kbd {color: inherit; opacity: 1}' in styles[0]


def test_the_map_reads_in_sunlight():
    for ground in (BODY, SHEET):
        assert contrast(RIM, ground) >= TEXT_LEAST
    for shade in (*(mark.colour for mark in MARKS.values()), VERMILLION):
        assert contrast(shade, RIM) >= SIGN_LEAST  # each is drawn in a dark rim


def test_the_marked_photo_reads_in_sunlight():
    for ground in (PAPER, RIM):
        assert contrast(INK, ground) >= TEXT_LEAST
        for shade in VERDICT_COLOURS.values():
            assert contrast(shade, ground) >= SIGN_LEAST
