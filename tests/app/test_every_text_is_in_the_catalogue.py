"""Pages in a made-up language that marks each text: what carries no mark is in no catalogue."""

from __future__ import annotations

import gettext
import re
from datetime import date
from typing import TYPE_CHECKING

import pytest

from season_steps import CROSS, bag, did, emasculate, pollinate
from shown import shown_texts
from spikecheck.language import words
from spikecheck.vocabulary import CrossingSession, StepKind
from spikecheck.vocabulary.steps import (
    Emasculated,
    GivenUp,
    Harvested,
    Selected,
    Tagged,
    Threshed,
)

if TYPE_CHECKING:
    from spikecheck.store import Store
    from visitor import Visitor

BEGINS, ENDS = "\N{LEFT WHITE SQUARE BRACKET}", "\N{RIGHT WHITE SQUARE BRACKET}"
_MARKED = re.compile(f"{BEGINS}[^{BEGINS}{ENDS}]*{ENDS}")
_WORD = re.compile(r"[^\W\d_]{2,}")
_DAY = re.compile(r"(?:[A-Z][a-z]{2} )?\d{1,2} [A-Z][a-z]{2,3} \d{4}")
DATA = [
    CROSS, "SPICA", "Morgenrot", "Tiefland", "Ilse", "House", "clip", "windy", "no camera",
    "broke", "spikecheck", "English", "Español",
]  # fmt: skip
"""What the test typed itself, and names that stay as they are in every language."""


class Marks(gettext.NullTranslations):
    """Puts every text that is looked up between brackets, as often as it is looked up."""

    def gettext(self, message: str) -> str:
        return f"{BEGINS}{message}{ENDS}"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)

    def pgettext(self, context: str, message: str) -> str:  # noqa: ARG002
        return self.gettext(message)


@pytest.fixture
def made_up_language(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every text is marked where somebody reads; nothing where nobody does."""
    marks, plain = Marks(), gettext.NullTranslations()
    monkeypatch.setattr(words, "_texts", lambda chosen: plain if chosen is None else marks)


def unmarked(visitor: Visitor) -> list[str]:
    """Words on the page that stand outside of every mark and are no data."""
    left = []
    for text in shown_texts(visitor.page):
        shorter, rest = "", text
        while shorter != rest:
            shorter, rest = rest, _MARKED.sub(" ", rest)
        rest = _DAY.sub(" ", rest)
        for data in DATA:
            rest = rest.replace(data, " ")
        if _WORD.search(rest):
            left.append(text)
    return left


def season(store: Store) -> None:
    """Spikes at every step of the way."""
    store.sessions.add(CrossingSession("S-1", date(2026, 5, 4), "House 2", ("Ilse",), "windy"))
    emasculate(store, 1, 2, hours_ago=1, session="S-1")
    emasculate(store, 3, hours_ago=24 * 20)
    did(store, 4, Selected(55), hours_ago=30)
    did(store, 4, Tagged("K7Q29XMT"), hours_ago=29)
    did(store, 4, Emasculated(20, 60, "clip", near_anthesis=True), hours_ago=28)
    bag(store, 4, hours_ago=27)
    pollinate(store, 4, hours_ago=26)
    did(store, 4, Harvested(), hours_ago=5, note="windy")
    did(store, 4, Threshed(5, 20), hours_ago=4)
    did(store, 5, GivenUp("broke"))
    entry = store.spikes.entries(CROSS, 4)[-1]
    store.spikes.correct(CROSS, 4, entry.number, None, by="Ilse", reason="windy")


@pytest.mark.parametrize("screen", ["agenda", "spikes", "sessions", "records", "safety"])
@pytest.mark.parametrize("begun", [False, True])
def test_screens(
    visitor: Visitor, store: Store, made_up_language: None, screen: str, *, begun: bool
):
    if begun:
        season(store)
    visitor.go_to(screen)
    assert len(list(shown_texts(visitor.page))) > 10
    assert unmarked(visitor) == []


@pytest.mark.parametrize("spike", [1, 4, 5, 9])
def test_the_page_of_a_spike_and_each_of_its_forms(
    visitor: Visitor, store: Store, made_up_language: None, spike: int
):
    season(store)
    visitor.go_to("spikes")
    visitor.page.text_input("spike-name").set_value(f"{CROSS}/{spike}")
    visitor.press(f"{BEGINS}Open this spike{ENDS}")
    assert unmarked(visitor) == []
    for kind in StepKind if spike == 1 else ():
        if kind in (StepKind.CHECKED, StepKind.OVERRIDDEN):
            continue
        visitor.page.selectbox[0].set_value(kind).run()
        assert unmarked(visitor) == []
        visitor.press(f"{BEGINS}Record this step{ENDS}")  # most are refused, with an error
        assert unmarked(visitor) == []
