"""Names in scripts written from right to left, inside a sentence written from left to right.

Without a sign of where such a name ends, a screen lets the number after it jump to its other side:
"drawn by NAME: 10 of 11" is shown as "drawn by 10 :NAME of 11". Unicode's isolates mark the ends
(UAX #9, https://www.unicode.org/reports/tr9/, 2.4.2: first strong isolate and its end), in every
place that shows text: buttons and lists to choose from as well as HTML.
"""

from __future__ import annotations

import re
from string import Formatter

from spikecheck.language.chosen import language

_BEGIN, _END = "\N{FIRST STRONG ISOLATE}", "\N{POP DIRECTIONAL ISOLATE}"

# Blocks of letters of bidirectional class R and AL, Unicode 15.0, DerivedBidiClass.txt.
_RIGHT_TO_LEFT = re.compile(
    "[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc\U00010800-\U00010fff\U0001e800-\U0001efff]"
)


def goes_right_to_left(text: str) -> bool:
    """Return whether ``text`` holds a letter of a script that is written from right to left."""
    return not text.isascii() and _RIGHT_TO_LEFT.search(text) is not None


def isolated(text: str) -> str:
    """Return ``text`` marked as one piece if any of it is written from right to left.

    Where nobody chose a language it stays as it was typed: commands, records and logs.
    """
    if not goes_right_to_left(text) or language() is None:
        return text
    return f"{_BEGIN}{text}{_END}"


def without_isolates(text: str) -> str:
    """Return ``text`` as it was typed, for what is not shown on a screen."""
    return text if text.isascii() else text.replace(_BEGIN, "").replace(_END, "")


class Sentence(str):
    """A text whose ``format`` keeps each name in one piece, whatever it is written in."""

    __slots__ = ()

    def format(self, *values: object, **named: object) -> str:
        """Fill in values as ``str.format`` does, names from right to left isolated."""
        plain = super().format(*values, **named)
        return _FORMATTER.vformat(self, values, named) if goes_right_to_left(plain) else plain


class _Isolating(Formatter):
    def format_field(self, value: object, format_spec: str) -> str:
        return isolated(str(super().format_field(value, format_spec)))


_FORMATTER = _Isolating()
