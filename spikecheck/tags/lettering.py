"""Text on a tag: fonts for any script that can be printed, fitted into the room there is.

DejaVu Sans Condensed (Latin, Greek, Cyrillic and more) travels with the package and is embedded in
the sheets. Chinese, Japanese and Korean letters are set in the standard fonts that PDF names for
them (Adobe-GB1, Adobe-Japan1, Adobe-Korea1): those are not embedded, and where the viewer lacks
them it leaves the letters blank without a word; :func:`letters_of_the_viewer` tells which they are.
Scripts that must be joined or run from right to left (Arabic, Hebrew, the scripts of India) would
come out wrong: their letters are printed as empty boxes, and :func:`letters_without_font` tells
which. Both say on which tags, so that nobody finds out in the field.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import cache
from importlib.resources import as_file, files
from itertools import groupby
from typing import TYPE_CHECKING

from spikecheck.language import without_isolates

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from reportlab.pdfgen.canvas import Canvas

    from spikecheck.vocabulary import CrossTag

PLAIN, BOLD = "DejaVuSansCondensed", "DejaVuSansCondensed-Bold"
_NOT_EMBEDDED = _HAN, _KANA, _HANGUL = "STSong-Light", "HeiseiKakuGo-W5", "HYGothic-Medium"
_BOX = "\u25a1"
_ELLIPSIS = "\u2026"
_LONGEST = 200  # letters; no tag has room for as many
_STEP = 0.9  # type gets smaller by this until it fits


@dataclass(frozen=True, slots=True)
class LettersInDoubt:
    """Letters that may not be read on the print, and where they stand.

    Parameters
    ----------
    letters
        Each once, sorted; empty where all is well.
    tags
        The tags they stand on, in the order given.
    """

    letters: str
    tags: tuple[CrossTag, ...]


def letters_without_font(tags: Iterable[CrossTag]) -> LettersInDoubt:
    """Return the letters in names and ids that are printed as empty boxes."""
    return _in_doubt(tags, lambda font: font is None)


def letters_of_the_viewer(tags: Iterable[CrossTag]) -> LettersInDoubt:
    """Return the letters in names and ids whose font is not embedded in the sheets."""
    return _in_doubt(tags, lambda font: font in _NOT_EMBEDDED)


def _in_doubt(tags: Iterable[CrossTag], doubted: Callable[[str | None], bool]) -> LettersInDoubt:
    letters: set[str] = set()
    found = []
    for tag in tags:
        texts = map(one_line, (tag.cross, tag.female, tag.male))
        here = {letter for text in texts for letter in text if doubted(_font(letter, PLAIN))}
        if here:
            letters |= here
            found.append(tag)
    return LettersInDoubt("".join(sorted(letters)), tuple(found))


def width_pt(text: str, font: str, size_pt: float) -> float:
    """Return how wide ``text`` is in ``font`` and what stands in for it, points."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    return float(sum(stringWidth(part, name, size_pt) for name, part in font_runs(text, font)))


def fitted(
    text: str, font: str, size_pt: float, *, room_pt: float, least_pt: float
) -> tuple[str, float]:
    """Return ``text`` and a size at which it fits; cut with an ellipsis where none is large enough.

    Parameters
    ----------
    text
        Any text; line breaks and control characters become blanks.
    font
        ``PLAIN`` or ``BOLD``.
    size_pt, least_pt
        The size it should have, and the smallest that is still read, points.
    room_pt
        How wide it may be, points.
    """
    text = one_line(text)[:_LONGEST]
    while width_pt(text, font, size_pt) > room_pt and size_pt > least_pt:
        size_pt = max(size_pt * _STEP, least_pt)
    if width_pt(text, font, size_pt) <= room_pt:
        return text, size_pt
    while text and width_pt(text.rstrip() + _ELLIPSIS, font, size_pt) > room_pt:
        text = text[:-1]
    return text.rstrip() + _ELLIPSIS, size_pt


def write(
    canvas: Canvas, place: tuple[float, float], text: str, *, font: str = PLAIN, size_pt: float
) -> None:
    """Write ``text`` at (x, y), points of the canvas's own axes, in as many fonts as needed."""
    x, y = place
    for name, part in font_runs(text, font):
        canvas.setFont(name, size_pt)
        canvas.drawString(x, y, part)
        x += canvas.stringWidth(part, name, size_pt)


def doubtful_letters(texts: Iterable[str]) -> tuple[str, str]:
    """Return the letters that no font has, and those whose font is not embedded, each sorted."""
    fonts = {letter: _font(letter, PLAIN) for text in texts for letter in one_line(text)}
    boxes = sorted(letter for letter, font in fonts.items() if font is None)
    foreign = sorted(letter for letter, font in fonts.items() if font in _NOT_EMBEDDED)
    return "".join(boxes), "".join(foreign)


def one_line(text: str) -> str:
    """Compose accents, and make one line of it without what steers a printer."""
    composed = unicodedata.normalize("NFC", without_isolates(text))
    return "".join(one if one.isprintable() else " " for one in composed).strip()


def font_runs(text: str, font: str) -> list[tuple[str, str]]:
    """Return ``text`` in parts, each with the name of the font that prints it.

    Parameters
    ----------
    text
        One line; letters that no font has become empty boxes.
    font
        ``PLAIN`` or ``BOLD``.
    """
    named = [(_font(one, font) or font, _box_unless_known(one, font)) for one in text]
    return [
        (name, "".join(one for _, one in run))
        for name, run in groupby(named, key=lambda one: one[0])
    ]


def _box_unless_known(letter: str, font: str) -> str:
    return _BOX if _font(letter, font) is None else letter


@cache
def _font(letter: str, font: str) -> str | None:
    """Return the font that prints ``letter``, ``font`` itself if it can, or None."""
    _register()
    from reportlab.pdfbase.pdfmetrics import getFont

    if unicodedata.bidirectional(letter) in {"R", "AL"}:
        return None
    for embedded in (font, PLAIN):  # the bold one has fewer letters
        if ord(letter) in getFont(embedded).face.charToGlyph:
            return embedded
    name = unicodedata.name(letter, "")
    if "HANGUL" in name:
        return _HANGUL
    if "HIRAGANA" in name or "KATAKANA" in name:
        return _KANA
    if "CJK" in name and ord(letter) <= 0xFFFF:  # the fonts' encodings end there  # noqa: PLR2004
        return _HAN
    return None


@cache
def _register() -> None:
    """Make the fonts known to reportlab, once a process."""
    from reportlab.pdfbase.cidfonts import UnicodeCIDFont
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    for name in (PLAIN, BOLD):
        with as_file(files("spikecheck.tags").joinpath("fonts", f"{name}.ttf")) as path:
            registerFont(TTFont(name, str(path)))
    for name in _NOT_EMBEDDED:
        registerFont(UnicodeCIDFont(name))
