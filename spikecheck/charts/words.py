"""Text in charts: made one clean line, and how wide it is about."""

from __future__ import annotations

import unicodedata

from spikecheck.language import without_isolates

_WIDE, _BOX, _CAPITAL, _NARROW, _OTHER = 1.0, 0.86, 0.74, 0.36, 0.61
_NARROW_LETTERS = frozenset("iljtfr.,:;'|!()[] \N{NO-BREAK SPACE}")
_ELLIPSIS = "\N{HORIZONTAL ELLIPSIS}"


def one_line(text: str) -> str:
    """Return ``text`` with accents composed and without line breaks or what steers a display."""
    composed = unicodedata.normalize("NFC", without_isolates(text))
    kept = (one if one.isprintable() or one == "\N{NO-BREAK SPACE}" else " " for one in composed)
    return "".join(kept).strip()


def width_of(text: str, size: float) -> float:
    """Return about how wide ``text`` is, rather too wide: whose font it will be is not known."""
    return size * sum(map(_em, text))


def cut(text: str, size: float, room: float) -> str:
    """Return ``text``, with an ellipsis in place of what does not fit into ``room``."""
    if width_of(text, size) <= room:
        return text
    while text and width_of(text + _ELLIPSIS, size) > room:
        text = text[:-1]
    return text.rstrip() + _ELLIPSIS


def wrapped(text: str, size: float, room: float, *, most_lines: int) -> list[str]:
    """Return ``text`` as lines that fit into ``room``; the last one is cut where it must be."""
    lines: list[str] = []
    for word in one_line(text).split(" "):
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and (width_of(joined, size) <= room or len(lines) == most_lines):
            lines[-1] = joined
        else:
            lines.append(word)
    return [cut(line, size, room) for line in lines]


def _em(letter: str) -> float:
    if unicodedata.combining(letter):
        return 0.0
    if unicodedata.east_asian_width(letter) in {"W", "F"}:
        return _WIDE
    if unicodedata.bidirectional(letter) in {"R", "AL"}:
        return _BOX  # as a file of printed pages shows it
    if letter in _NARROW_LETTERS:
        return _NARROW
    return _CAPITAL if letter.isupper() or letter in "mwMW%" else _OTHER
