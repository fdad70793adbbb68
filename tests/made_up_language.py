"""A made-up language that marks every text: what carries no mark is in no catalogue."""

from __future__ import annotations

import gettext
import re
from contextlib import contextmanager
from typing import TYPE_CHECKING

from spikecheck.language import Language, in_language, words

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    import pytest

BEGINS, ENDS = "\N{LEFT WHITE SQUARE BRACKET}", "\N{RIGHT WHITE SQUARE BRACKET}"
_MARKED = re.compile(f"{BEGINS}[^{BEGINS}{ENDS}]*{ENDS}")
_WORD = re.compile(r"[^\W\d_]{2,}")
_DAY = re.compile(r"(?:[A-Z][a-z]{2} )?\d{1,2} [A-Z][a-z]{2,3} \d{4}")


class Marks(gettext.NullTranslations):
    """Puts every text that is looked up between brackets, as often as it is looked up."""

    def gettext(self, message: str) -> str:
        return f"{BEGINS}{message}{ENDS}"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)

    def pgettext(self, context: str, message: str) -> str:  # noqa: ARG002
        return self.gettext(message)


def marked(text: str) -> str:
    """Return a text as it is shown in the made-up language."""
    return f"{BEGINS}{text}{ENDS}"


@contextmanager
def spoken(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Mark every text where somebody reads, nothing where nobody does."""
    marks, plain = Marks(), gettext.NullTranslations()
    monkeypatch.setattr(words, "_texts", lambda chosen: plain if chosen is None else marks)
    # AppTest looks up what it chooses by its words, too.
    with in_language(Language.ENGLISH):
        yield


def unmarked(texts: Iterable[str], *, data: Iterable[str]) -> list[str]:
    """Return what of the texts stands outside of every mark, no day and no ``data``."""
    left = []
    for text in texts:
        shorter, rest = "", text
        while shorter != rest:
            shorter, rest = rest, _MARKED.sub(" ", rest)
        rest = _DAY.sub(" ", rest)
        for one in data:
            rest = rest.replace(one, " ")
        if _WORD.search(rest):
            left.append(" ".join(rest.split()))
    return left
