"""What the first reading of a drawn spike said is covered on every page until the second one."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from streamlit.testing.v1 import AppTest

import who
from spikecheck.access import Person, Role
from spikecheck.audit import SamplingPlan, SpikeName
from spikecheck.bundled import bundled_folder
from spikecheck.supervision import draw_session, read_again, session_audit
from spikecheck.vocabulary.audit_steps import Leftovers
from tests.audited_session import SESSION, build_session
from visitor import Visitor

if TYPE_CHECKING:
    from pathlib import Path

    from spikecheck.store import Store

COVER = "its first verdict is covered until then"
ANYWAY = "Show it all the same"
SPIKE = SpikeName("C-0504-001", 1)  # review, set to pass by Rut; checked by Bo
TOLD = ("REVIEW", "PASS", "palea", "Green anther", "Rut", "IMG_")


@pytest.fixture(autouse=True)
def _one_drawn_session(store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SPIKECHECK_CACHE", str(tmp_path / "cache"))
    monkeypatch.setenv("SPIKECHECK_ZONE", "UTC")
    build_session(store, count=11)
    lot = session_audit(store, SESSION).lot
    drawn = draw_session(store, SESSION, SamplingPlan(lot, lot, 0), by="Ann").drawn
    for name in drawn:
        if name != SPIKE:
            read_again(store, name, Leftovers.NONE, by="Ann")


def tab(page: str, by: str = "Gro") -> Visitor:
    """A tab of somebody at a machine without sign-in, who gave a name."""
    app = AppTest.from_file(str(bundled_folder("app") / "streamlit_app.py"), default_timeout=60)
    one = Visitor(app.run())
    if by:
        one.page.text_input("by").set_value(by).run()
    one.go_to(page)
    return one


def at_address(check: int | None) -> Visitor:
    """A tab at the address that the page showed after this check, by somebody without a name."""
    app = AppTest.from_file(str(bundled_folder("app") / "streamlit_app.py"), default_timeout=60)
    app.query_params["check"] = str(check)
    return Visitor(app.run())


def signed_in(monkeypatch: pytest.MonkeyPatch, name: str, role: Role) -> None:
    monkeypatch.setattr(who, "current_person", lambda: Person(name, role, signed_in=True))


def open_spike(one: Visitor) -> Visitor:
    one.page.text_input("spike-name").set_value(str(SPIKE))
    one.press("Open this spike")
    return one


def open_cross(one: Visitor) -> Visitor:
    one.page.button(f"open-{SPIKE.cross}").click().run()
    return one


def to_reading(one: Visitor) -> Visitor:
    one.go_to("audit")
    one.page.segmented_control("audit-part").set_value("reading").run()
    return one


def told_of(one: Visitor) -> list[str]:
    assert not one.page.exception
    return [word for word in TOLD if word in one.said()]


def read_blind(store: Store) -> bool:
    audit = store.spikes.one(SPIKE.cross, SPIKE.spike).audit
    assert audit is not None
    assert audit.read_at is not None
    return audit.read_blind


def test_the_page_of_a_spike_is_covered_until_it_is_read(store: Store):
    one = open_spike(tab("spikes"))
    assert COVER in one.said()
    assert told_of(one) == []
    assert "Record a step" in [each.value for each in one.page.subheader]  # work goes on
    to_reading(one).press("Pass: nothing is left")
    assert read_blind(store)
    one.go_to("spikes")
    assert COVER not in one.said()
    assert {"palea", "Green anther", "Rut"} <= set(told_of(one))


def test_the_checks_of_a_cross_are_covered_until_it_is_read(store: Store):
    one = tab("records")
    counts = [each.value for each in one.page.caption]
    assert "Spikes checked 1 · verdicts are told after the second reading" in counts
    assert "Spikes checked 10 · pass 9 · review 1" in counts
    open_cross(one)
    assert COVER in one.said()
    assert told_of(one) == []
    read_again(store, SPIKE, Leftovers.NONE, by="Ann")
    one.page.run()
    assert COVER not in one.said()
    assert {"palea", "Green anther"} <= set(told_of(one))


def test_the_address_of_a_check_leads_nowhere_until_its_spike_is_read(store: Store):
    check = store.spikes.one(SPIKE.cross, SPIKE.spike).check
    assert told_of(at_address(check)) == []
    read_again(store, SPIKE, Leftovers.NONE, by="Ann")
    assert {"palea", "Rut"} <= set(told_of(at_address(check)))


@pytest.mark.parametrize("page", ["spikes", "records"])
def test_who_looks_all_the_same_reads_not_blind(store: Store, page: str):
    one = open_spike(tab(page)) if page == "spikes" else open_cross(tab(page))
    one.press(ANYWAY)
    assert {"palea", "Green anther"} <= set(told_of(one))
    to_reading(one)
    assert "You have seen its first verdict" in one.said()
    one.press("Pass: nothing is left")
    assert not read_blind(store)
    one.press("See the result")
    assert "1 second reading was not blind" in one.said()
    assert "Gro (not blind)" in one.said()
    agreement = session_audit(store, SESSION).agreement
    assert agreement is not None
    assert agreement.spikes == 9  # of ten that were read
    assert not store.verify().faults


def test_who_looked_is_remembered_in_another_tab_and_nobody_else_is_meant(store: Store):
    open_spike(tab("spikes")).press(ANYWAY)
    assert COVER not in open_spike(tab("spikes", by=" gro ")).said()
    assert "You have seen" in to_reading(tab("spikes")).said()
    other = open_spike(tab("spikes", by="Mia"))
    assert COVER in other.said()
    to_reading(other)
    assert "You have seen" not in other.said()
    other.press("Pass: nothing is left")
    assert read_blind(store)


def test_who_looks_without_a_name_may_be_anybody_in_this_tab(store: Store):
    one = open_spike(tab("spikes", by=""))
    one.press(ANYWAY)
    assert COVER not in one.said()
    one.go_to("audit")
    one.page.text_input("by").set_value("Gro").run()
    to_reading(one).press("Pass: nothing is left")
    assert not read_blind(store)


def test_who_checked_it_goes_on_working(store: Store):
    checked_by = store.spikes.one(SPIKE.cross, SPIKE.spike).checked_by
    assert COVER not in open_spike(tab("spikes", by=checked_by)).said()


def test_a_technician_who_cannot_read_again_sees_all(monkeypatch: pytest.MonkeyPatch):
    signed_in(monkeypatch, "Juna", Role.TECHNICIAN)
    one = open_spike(tab("spikes", by=""))
    assert COVER not in one.said()
    assert "palea" in told_of(one)


def test_a_report_tells_all_so_who_makes_it_reads_not_blind(
    store: Store, monkeypatch: pytest.MonkeyPatch
):
    signed_in(monkeypatch, "Ines", Role.SUPERVISOR)
    one = tab("sessions", by="")
    assert "The report tells its first verdict" in one.said()
    one.press("Make the report of this session")
    one.page.run()
    assert "The report tells its first verdict" not in one.said()
    to_reading(one).press("Review: I am not sure")
    assert not read_blind(store)
