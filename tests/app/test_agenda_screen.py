"""The agenda: what is urgent comes first, and leads to its spikes."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from html import escape
from typing import TYPE_CHECKING

import pytest
import streamlit as st
import vobject
from streamlit.testing.v1 import AppTest

from literal import NASTY_ID, read_as_markup
from season_steps import bag, did, emasculate, pollinate
from spikecheck.bundled import bundled_folder
from spikecheck.vocabulary.steps import Emasculated, Rebagged
from tests.plans import planned
from visitor import Visitor

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.store import Store


def test_a_store_without_crosses_says_how_to_begin(store: Store):
    page = AppTest.from_file(str(bundled_folder("app") / "streamlit_app.py"), default_timeout=60)
    visitor = Visitor(page.run())
    visitor.go_to("agenda")
    assert "No cross is recorded yet. Add the first on the Check screen" in visitor.said()


def test_a_store_without_open_spikes_says_where_to_go(visitor: Visitor):
    visitor.go_to("agenda")
    assert "No spike waits for anything" in visitor.said()


def test_groups_come_by_urgency_with_sentence_and_remark(visitor: Visitor, store: Store):
    emasculate(store, 1, 2, hours_ago=1)
    emasculate(store, 3, hours_ago=24 * 20)
    emasculate(store, 4, hours_ago=24 * 5)
    bag(store, 4)
    pollinate(store, 4)
    did(store, 4, Rebagged())
    visitor.go_to("agenda")
    said = visitor.said()
    assert [one.value for one in visitor.page.subheader] == [
        "Overdue · 1 spike", "Today · 2 spikes",
    ]  # fmt: skip
    assert said.index("SPICA-7: spike 3") < said.index("SPICA-7: spikes 1\N{EN DASH}2")
    assert "Take photos and check by " in said
    assert "No place is recorded, so its temperatures are not known" in said
    (later,) = (one for one in visitor.page.expander if one.label.startswith("Later"))
    assert later.label == "Later · 1 spike"
    assert not later.proto.expanded
    assert "Harvest: from " in later.text[0].value


@pytest.mark.parametrize(("chosen", "to_do"), [("en", "Take photos"), ("es", "Tomar fotos")])
def test_the_calendar_file_is_in_the_language_of_who_asks_for_it(
    store: Store, monkeypatch: pytest.MonkeyPatch, chosen: str, to_do: str
):
    files: list[Callable[[], bytes]] = []
    monkeypatch.setattr(st, "download_button", lambda _words, made, **_how: files.append(made))
    store.plans.add(planned("הצלבה 14", "Morgenrot", "Tiefland 3"))
    did(store, 3, Emasculated(20, 60), hours_ago=1, cross="הצלבה 14")
    page = AppTest.from_file(str(bundled_folder("app") / "streamlit_app.py"), default_timeout=60)
    page.query_params["language"] = chosen
    Visitor(page.run()).go_to("agenda")
    with ThreadPoolExecutor(1) as pool:  # where no page runs, as Streamlit asks for it
        (event,) = pool.submit(
            lambda: vobject.readOne(files[-1]().decode()).contents["vevent"]
        ).result()
    assert event.summary.value.startswith(to_do)
    assert event.description.value.startswith(f"3: {to_do}")
    assert " הצלבה 14: " in event.summary.value  # no mark for a screen around the name


def test_nothing_but_later_is_told(visitor: Visitor, store: Store):
    emasculate(store, 4)
    bag(store, 4)
    pollinate(store, 4)
    did(store, 4, Rebagged())
    visitor.go_to("agenda")
    assert "Nothing is to be done this week." in visitor.said()


def test_a_group_of_one_leads_to_the_page_of_the_spike(visitor: Visitor, store: Store):
    emasculate(store, 3)
    visitor.go_to("agenda")
    visitor.press("Go to this spike")
    assert "Spike SPICA-7/3" in visitor.said()
    assert "Next: Take photos and check" in visitor.said()


def test_a_group_of_several_leads_to_their_list(visitor: Visitor, store: Store):
    emasculate(store, 1, 2)
    emasculate(store, 3, hours_ago=2)
    bag(store, 3)
    visitor.go_to("agenda")
    visitor.press("Go to these spikes")
    assert "Take photos and check: SPICA-7: spikes 1\N{EN DASH}2" in visitor.said()
    assert visitor.listed() == ["SPICA-7/1", "SPICA-7/2"]
    visitor.go_to("spikes")  # to the test, the button above left it on the agenda
    visitor.press("Choose other spikes")
    assert "3 still wait for something" in visitor.said()


def test_many_groups_come_a_few_at_a_time(visitor: Visitor, store: Store):
    for number in range(30):
        store.plans.add(planned(f"C-{number:03}", "Ferra", "Olmo"))
        did(store, 1, Emasculated(20, 60), cross=f"C-{number:03}", hours_ago=1)
    visitor.go_to("agenda")
    assert visitor.said().count(": spike 1") == 8
    visitor.press("Show more (22 left)")
    assert visitor.said().count(": spike 1") == 30


def test_names_are_shown_literally(visitor: Visitor, store: Store):
    text = NASTY_ID
    store.plans.add(planned(text, f"f{text}", text))
    did(store, 1, Emasculated(20, 60), cross=text)
    did(store, 2, Emasculated(20, 60), cross=text, hours_ago=1)
    visitor.go_to("agenda")
    assert f"{escape(text)}: spikes 1\N{EN DASH}2" in visitor.said()
    assert text not in read_as_markup(visitor).replace(escape(text), "")
