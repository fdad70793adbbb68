"""The strips above and below an overlay: the verdict with its reasons, and the legend."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.imaging.canvas import Canvas, text_width_px
from spikecheck.imaging.marks import INK, MARKS, PAPER, VERDICT_COLOURS, Shape
from spikecheck.vocabulary.tag_code import shown_code

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.imaging.marks import Colour
    from spikecheck.vocabulary.check_result import PhotoResult
    from spikecheck.vocabulary.seen_tag import SeenTag
    from spikecheck.vocabulary.verdict import Verdict

_MOST_LINES = 6
_LEAST_ROOM = 26  # characters beside the verdict; with less room the text goes below it
_CORNERS = ("corners: anther", "G green", "Y yellow", "D dehisced", "! near anthesis", "b broken")


@dataclass(frozen=True, slots=True)
class Headline:
    """What the strip above says.

    Parameters
    ----------
    verdict
        The spike's verdict, or None when the photo alone is shown.
    messages
        Sentences, most urgent first.
    """

    verdict: Verdict | None
    messages: Sequence[str]


def headline_strip(headline: Headline, *, width_px: int, size_px: int) -> NDArray[np.uint8]:
    """Draw the verdict, large, with the first messages beside it."""
    word = "" if headline.verdict is None else headline.verdict.upper()
    large = round(1.7 * size_px)
    left = size_px // 2
    text_left = left + (text_width_px(word, size_px=large) + 2 * size_px if word else 0)
    beside = width_px - text_left >= 0.5 * size_px * _LEAST_ROOM
    first, text_left = (0, text_left) if beside else (2, left)
    lines = _lines(headline.messages, width_px - text_left - left, size_px)
    canvas = _paper(max(first + len(lines), 2), width_px, size_px)
    if headline.verdict is not None:
        colour = VERDICT_COLOURS[headline.verdict]
        canvas.text(word, (_row(0.5, size_px), left), size_px=large, colour=colour, bold=True)
    for number, line in enumerate(lines):
        canvas.text(line, (_row(first + number, size_px), text_left), size_px=size_px)
    return canvas.pixels


def legend_strip(result: PhotoResult, *, width_px: int, size_px: int) -> NDArray[np.uint8]:
    """Draw every mark with its meaning and how often it occurs, how anthers are marked, the tags.

    What the picture does not show is not explained; without any mark there is no legend.
    """
    if not (result.florets or result.findings.marks or result.tags):
        return np.empty((0, width_px, 3), np.uint8)
    counts = Counter(judged.status for judged in result.florets)
    entries: list[tuple[tuple[Shape, Colour] | None, str]] = []
    if result.florets or result.findings.marks:
        entries += [
            ((mark.shape, mark.colour), f"{mark.words} {counts[status]}")
            for status, mark in MARKS.items()
        ]
    if result.findings.marks:
        entries += [(None, part) for part in _CORNERS]
    entries += [(None, tag_words(tag)) for tag in result.tags]
    places, row, column = [], 0, size_px // 2
    for sign, words in entries:
        wide = text_width_px(words, size_px=size_px) + (round(1.6 * size_px) if sign else 0)
        if column > size_px // 2 and column + wide > width_px:
            row, column = row + 1, size_px // 2
        places.append((row, column))
        column += wide + round(1.2 * size_px)
    canvas = _paper(row + 1, width_px, size_px)
    for (sign, words), (row, column) in zip(entries, places, strict=True):
        middle = _row(row, size_px)
        text_left = float(column)
        if sign is not None:
            shape, colour = sign
            centre = (middle, column + 0.6 * size_px)
            canvas.mark(shape, centre, radius_px=0.42 * size_px, colour=colour, filled=True)
            text_left += 1.5 * size_px
        canvas.text(words, (middle, text_left), size_px=size_px, colour=INK)
    return canvas.pixels


def tag_words(tag: SeenTag) -> str:
    """Return what stands for a cross tag: ``"tag K7Q2 9XMT"``."""
    return f"tag {shown_code(tag.code)}"


def _lines(messages: Sequence[str], room_px: int, size_px: int) -> list[str]:
    """Return the first messages that fit, whole, numbered when several, and how many are left."""
    lines: list[str] = []
    for told, message in enumerate(messages):
        numbered = f"{told + 1}. {message}" if len(messages) > 1 else message
        more = _wrapped(numbered, room_px, size_px)
        last = told + 1 == len(messages)  # any other needs a line after it for "and more"
        if told and len(lines) + len(more) + (not last) > _MOST_LINES:
            return [*lines, f"and {len(messages) - told} more"]
        lines += more
    return lines


def _paper(lines: int, width_px: int, size_px: int) -> Canvas:
    height_px = round(1.5 * size_px * lines + 0.8 * size_px)
    return Canvas(np.full((height_px, width_px, 3), PAPER, np.uint8))


def _row(line: float, size_px: int) -> float:
    return size_px * (0.4 + 1.5 * line + 0.75)


def _wrapped(text: str, room_px: int, size_px: int) -> list[str]:
    """Break ``text`` at spaces into lines of at most ``room_px``; a longer word is left whole."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width_px(longer, size_px=size_px) <= room_px:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines
