"""Crossing sessions: added, refused, listed, and the way to their spikes."""

from __future__ import annotations

from datetime import date
from html import escape
from typing import TYPE_CHECKING

from literal import NASTY_ID, read_as_markup
from season_steps import emasculate
from spikecheck.vocabulary import CrossingSession

if TYPE_CHECKING:
    from spikecheck.store import Store
    from visitor import Visitor


def fill(visitor: Visitor, **texts: str) -> None:
    people = texts.pop("people", "")
    visitor.page.text_area("new-session-people").set_value(people)
    for name, text in texts.items():
        visitor.page.text_input(f"new-session-{name}").set_value(text)
    visitor.page.date_input("new-session-day").set_value(date(2026, 5, 4))
    visitor.press("Add this session")


def test_a_session_is_added_with_its_people(visitor: Visitor, store: Store):
    visitor.go_to("sessions")
    assert "No session is recorded yet" in visitor.said()
    fill(visitor, id="S-1", place="House 2", people="Ilse\n\n Bo \n", note="windy")
    assert store.sessions.all() == (
        CrossingSession("S-1", date(2026, 5, 4), "House 2", ("Ilse", "Bo"), "windy"),
    )
    assert "Mon 4 May 2026 · House 2 · Ilse, Bo" in visitor.said()
    assert visitor.page.text_input("new-session-id").value == ""


def test_an_id_that_is_taken_is_refused_and_what_was_typed_stays(visitor: Visitor, store: Store):
    store.sessions.add(CrossingSession("S-1", date(2026, 5, 3), "", ()))
    visitor.go_to("sessions")
    fill(visitor, id="S-1", place="Field")
    assert "the session S-1 is recorded already" in visitor.said()
    assert visitor.page.text_input("new-session-place").value == "Field"
    assert len(store.sessions.all()) == 1


def test_a_session_leads_to_its_spikes(visitor: Visitor, store: Store):
    store.sessions.add(CrossingSession("S-1", date(2026, 5, 3), "", ()))
    visitor.go_to("sessions")
    visitor.press("Show its spikes")
    assert "No spike was emasculated in it." in visitor.said()
    emasculate(store, 1, 2, session="S-1")
    emasculate(store, 3)
    visitor.press("Show its spikes")
    assert "Session S-1" in visitor.said()
    assert visitor.listed() == ["SPICA-7/1", "SPICA-7/2"]


def test_names_are_shown_literally(visitor: Visitor, store: Store):
    visitor.go_to("sessions")
    text = NASTY_ID
    fill(visitor, id=text, place=text, people=text, note=text)
    assert f"{text} · {text}" in visitor.said()
    assert text not in read_as_markup(visitor).replace(escape(text), "")


def test_many_sessions_come_a_few_at_a_time(visitor: Visitor, store: Store):
    for number in range(25):
        store.sessions.add(CrossingSession(f"S-{number}", date(2026, 5, 1 + number), "", ()))
    visitor.go_to("sessions")
    assert visitor.labels().count("Show its spikes") == 20
    visitor.press("Show older sessions (5 more)")
    assert visitor.labels().count("Show its spikes") == 25
