"""The report of a session on the page: made when asked for, by whom may, then there to be saved."""

from __future__ import annotations

from datetime import date

import pytest

import who
from spikecheck import reports
from spikecheck.access import Person, Role
from spikecheck.vocabulary import CrossingSession

MAKE = "Make the report of this session"


@pytest.fixture
def sessions(store, visitor):
    """The page of two sessions without spikes."""
    for name in ("S-1", "S-2"):
        store.sessions.add(CrossingSession(name, date(2026, 5, 4), "House 2", ("Ida",)))
    visitor.go_to("sessions")
    return visitor


def saved(visitor):
    """The buttons with which a report is saved, and what they give."""
    return [one.proto.label for one in visitor.page.get("download_button")]


def test_no_report_is_made_before_it_is_asked_for(sessions, monkeypatch):
    assert sessions.labels().count(MAKE) == 2
    assert saved(sessions) == []


def test_it_is_made_once_and_offered_for_that_session(sessions, monkeypatch):
    made = []
    real = reports.report_files

    def count(*words, **options):
        made.append(words[1])
        return real(*words, **options)

    monkeypatch.setattr(reports, "report_files", count)
    first = next(one for one in sessions.page.button if one.key == "report-of-S-1")
    first.click().run()
    assert not sessions.page.exception
    assert saved(sessions) == ["Save the report as PDF", "Save the report as a web page"]
    sessions.page.run()
    assert made == ["S-1"]
    assert saved(sessions) == ["Save the report as PDF", "Save the report as a web page"]


def test_who_may_not_make_reports_sees_none_and_is_refused(sessions, monkeypatch):
    first = next(one for one in sessions.page.button if one.key == "report-of-S-1")
    monkeypatch.setattr(
        who, "current_person", lambda: Person("Ida", Role.TECHNICIAN, signed_in=True)
    )
    first.click().run()
    assert not sessions.page.exception
    assert MAKE not in sessions.labels()
    assert saved(sessions) == []
