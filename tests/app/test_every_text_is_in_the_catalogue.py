"""Pages in a made-up language that marks each text: what carries no mark is in no catalogue."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
import streamlit as st
from PIL import Image
from streamlit.testing.v1 import AppTest

from season_steps import CROSS, bag, did, emasculate, pollinate
from shown import shown_texts
from spikecheck.bookkeeping.next_steps import steps_to_offer
from spikecheck.bundled import bundled_folder
from spikecheck.vocabulary import CrossingSession
from spikecheck.vocabulary.steps import (
    Emasculated,
    GivenUp,
    Harvested,
    Selected,
    Tagged,
    Threshed,
)
from tests.made_up_language import BEGINS, ENDS, marked, spoken, unmarked
from visitor import Visitor

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from spikecheck.store import Store

DATA = [
    CROSS, "SPICA", "Morgenrot", "Tiefland", "Ilse", "House", "clip", "windy", "no camera",
    "broke", "spikecheck", "English", "Español", "bad.png", "png", "made up for tests",
    "Green anther in floret L2.", "Green anther outside the florets.",
    "Only one face was photographed.",
]  # fmt: skip
"""What the test typed itself, and names that stay as they are in every language."""


SCREENS = ("check", "agenda", "spikes", "sessions", "records", "audit", "practice", "safety")


@pytest.fixture
def made_up_language(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Every text that somebody reads is marked."""
    with spoken(monkeypatch):
        yield


def left_unmarked(visitor: Visitor) -> list[str]:
    """Words on the page that stand outside of every mark and are no data."""
    return unmarked(shown_texts(visitor.page), data=DATA)


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


@pytest.mark.parametrize("screen", SCREENS)
@pytest.mark.parametrize("begun", [False, True])
def test_screens(
    visitor: Visitor, store: Store, made_up_language: None, screen: str, *, begun: bool
):
    if begun:
        season(store)
    visitor.go_to(screen)
    assert len(list(shown_texts(visitor.page))) > 10
    assert left_unmarked(visitor) == []


@pytest.mark.parametrize("spike", [1, 4, 5, 9])
def test_the_page_of_a_spike_and_each_of_its_forms(
    visitor: Visitor, store: Store, made_up_language: None, spike: int
):
    season(store)
    visitor.go_to("spikes")
    visitor.page.text_input("spike-name").set_value(f"{CROSS}/{spike}")
    visitor.press(marked("Open this spike"))
    assert left_unmarked(visitor) == []
    for kind in steps_to_offer(None) if spike == 1 else ():
        visitor.page.selectbox[0].set_value(kind).run()
        assert left_unmarked(visitor) == []
        visitor.press(marked("Record this step"))  # most are refused, with an error
        assert left_unmarked(visitor) == []


def test_a_check_from_photo_to_record(
    visitor: Visitor,
    store: Store,
    png: Callable[[int], bytes],
    made_up_language: None,
    answer_review: None,
):
    visitor.go_to("check")
    visitor.upload(("bad.png", b"bad"), control="first")
    assert left_unmarked(visitor) == []
    visitor.check(png(1))
    assert left_unmarked(visitor) == []
    visitor.press(marked("Record this check"))
    assert left_unmarked(visitor) == []
    visitor.go_to("records")
    visitor.page.button(f"open-{CROSS}").click().run()
    assert left_unmarked(visitor) == []


def test_marking(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, made_up_language: None):
    Image.new("RGB", (120, 160), (60, 120, 90)).save(tmp_path / "a.png")
    monkeypatch.setenv("SPIKECHECK_LABEL_FOLDER", str(tmp_path))
    monkeypatch.setenv("SPIKECHECK_STORE", str(tmp_path / "records"))
    st.cache_resource.clear()
    page = AppTest.from_file(str(bundled_folder("app") / "streamlit_app.py"), default_timeout=60)
    visitor = Visitor(page.run())
    visitor.go_to("label")
    page.text_input("by").set_value("Ilse").run()
    assert left_unmarked(visitor) == []
    for tool in page.radio("label-tool").options:
        page.radio("label-tool").set_value(tool.strip(BEGINS + ENDS)).run()
        assert left_unmarked(visitor) == []
    st.cache_resource.clear()
