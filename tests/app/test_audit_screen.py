"""The audit page: a sample drawn, read blind, decided; nothing of a first reading leaks."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from streamlit.testing.v1 import AppTest

import resources
import who
from audit_visit import Marking
from literal import NASTY_ID, read_as_markup
from spikecheck.access import Person, Role
from spikecheck.audit import SamplingPlan, SpikeName
from spikecheck.bundled import bundled_folder
from spikecheck.errors import AccessError
from spikecheck.store import open_store
from spikecheck.supervision import decide, draw_session, read_again, session_audit
from spikecheck.supervision.sample import SampleResult
from spikecheck.vocabulary import CrossingSession, Step, Verdict
from spikecheck.vocabulary.audit_steps import AuditDecision, LeftoverMark, Leftovers
from spikecheck.vocabulary.steps import Bagged, Emasculated, GivenUp
from tests.audited_session import PEOPLE, SESSION, build_session, check_anew
from visitor import Visitor
from widgets.audit_words import audit_once, label

if TYPE_CHECKING:
    from pathlib import Path

    from spikecheck.store import Store

_OVERRIDDEN = SpikeName("C-0504-001", 1)  # in a session of 11: review, set to pass by Rut


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SPIKECHECK_CACHE", str(tmp_path / "cache"))
    monkeypatch.setenv("SPIKECHECK_ZONE", "UTC")


def supervisor(by: str = "Gro") -> Visitor:
    """Someone in front of the audit page."""
    page = AppTest.from_file(str(bundled_folder("app") / "streamlit_app.py"), default_timeout=60)
    one = Visitor(page.run())
    one.go_to("audit")
    if by:
        one.page.text_input("by").set_value(by).run()
    return one


def open_part(one: Visitor, part: str) -> None:
    one.page.segmented_control("audit-part").set_value(part).run()
    assert not one.page.exception


def sent(one: Visitor) -> str:
    """Return all that the page sends to the browser."""
    found: list[str] = []

    def walk(node: object) -> None:
        found.append(str(getattr(node, "proto", "")))
        for child in getattr(node, "children", {}).values():
            walk(child)

    walk(one.page._tree)
    return "\n".join(found)


def draw(store: Store, size: int | None = None) -> tuple[SpikeName, ...]:
    lot = session_audit(store, SESSION).lot
    plan = SamplingPlan(lot, size or lot, 0)
    return draw_session(store, SESSION, plan, by="Gro").drawn


def test_a_session_goes_from_draw_to_decision(store: Store):
    build_session(store, count=11)
    one = supervisor()
    assert "Who did what" in one.said() or one.page.subheader[0].value == "Who did what"
    one.press("Draw a sample")
    one.page.number_input("audit-plan-detect").set_value(30.0).run()
    (label,) = [text for text in one.labels() if text.startswith("Draw ")]
    one.press(label)
    sample = session_audit(store, SESSION).sample
    assert sample is not None
    one.press("Review: I am not sure")
    while "Pass: nothing is left" in one.labels():
        one.press("Pass: nothing is left")
    one.press("See the result")
    assert "kappa" in one.said().casefold()
    one.press(f"Confirm the {len(sample.drawn) - 1} spikes that both readers passed")
    one.press("Look and decide")
    one.press("Send back for a new check")
    assert "sending a spike back needs a reason" in one.said()
    (reason,) = [area for area in one.page.text_area if str(area.key).startswith("audit-reason-")]
    reason.set_value("a green tip").run()
    one.press("Send back for a new check")
    assert "is sent back." in one.said()
    audit = session_audit(store, SESSION)
    assert audit.sample is not None
    assert audit.sample.result is SampleResult.FAILS
    open_part(one, "charts")
    open_part(one, "overview")
    assert "look at every bag" in one.said()


def test_a_spike_opened_from_the_result_need_not_fit_the_choice_of_the_gallery(store: Store):
    build_session(store, count=11)
    for name in draw(store, 3):
        read_again(store, name, Leftovers.UNSURE, by="Gro")
    one = supervisor()
    open_part(one, "gallery")
    one.page.selectbox("audit-filter-verdict").set_value(Verdict.REVIEW).run()
    open_part(one, "result")
    one.press("Look and decide")
    assert "Send back for a new check" in one.labels()
    assert not [text for text in one.page.text if re.fullmatch(r"\d+ of \d+", text.value)]
    one.press("Next spike")
    assert "1 of 1" in [text.value for text in one.page.text]


def test_a_spike_that_is_sent_back_is_shown_as_no_pass(store: Store):
    build_session(store, count=1)
    (name,) = draw(store)
    read_again(store, name, Leftovers.UNSURE, by="Gro")
    decide(store, name, AuditDecision.SENT_BACK, by="Gro", reason="a tip")
    one = supervisor()
    open_part(one, "gallery")
    assert "sent back" in one.said()
    assert "\N{CHECK MARK} pass" not in one.said()
    one.press(label(str(name)))
    assert "this check holds no more" in one.said()
    assert "PASS" not in one.said()


def test_what_somebody_else_decided_meanwhile_is_looked_at_first(store: Store):
    build_session(store, count=1)
    (name,) = draw(store)
    read_again(store, name, Leftovers.NONE, by="Gro")
    one = supervisor("Pia")
    open_part(one, "gallery")
    one.press(label(str(name)))
    decide(store, name, AuditDecision.SENT_BACK, by="Gro", reason="a tip")
    one.press("Confirm: nothing is left")
    assert "since this was opened" in one.said()
    assert store.spikes.one(name.cross, name.spike).sent_back


def test_photos_that_another_check_replaced_are_not_read_as_the_new_ones(store: Store):
    build_session(store, count=1)
    (name,) = draw(store)
    one = supervisor()
    open_part(one, "reading")
    check_anew(store, name.cross, name.spike, by="Hal")
    one.press("Pass: nothing is left")
    assert "was checked anew by Hal" in one.said()
    audit = store.spikes.one(name.cross, name.spike).audit
    assert audit is not None
    assert audit.read_at is None
    one.press("Pass: nothing is left")
    record = store.spikes.one(name.cross, name.spike)
    assert record.audit is not None
    assert record.audit.check == record.check
    assert record.audit.read_verdict is Verdict.PASS


def test_marks_stay_with_the_photos_that_they_are_in():
    marking, name = Marking(), SpikeName("C-014", 1)
    marking.turn_to(name, 1)
    marking.marks.append(LeftoverMark("a" * 64, row=3, column=4))
    marking.turn_to(name, 1)
    assert len(marking.marks) == 1
    marking.turn_to(name, 2)
    assert marking.marks == []


def test_nobody_is_offered_to_confirm_their_own(store: Store):
    build_session(store, count=3)  # one spike of each of the three
    for name in draw(store):
        read_again(store, name, Leftovers.NONE, by="Gro")
    one = supervisor("Ida")
    open_part(one, "result")
    assert "Both readers passed 1 spike that you checked" in one.said()
    one.press("Confirm the 2 spikes that both readers passed")
    assert "2 spikes are confirmed." in one.said()


def test_what_is_not_narrowed_says_all(store: Store):
    build_session(store, count=3)
    one = supervisor()
    open_part(one, "gallery")
    choices = [box for box in one.page.selectbox if str(box.key).startswith("audit-filter-")]
    assert {box.proto.placeholder for box in choices} == {"all"}


def test_one_spike_is_told_in_the_singular(store: Store):
    build_session(store, count=1)
    one = supervisor()
    open_part(one, "sample")
    one.press("Draw 1 spike")
    assert "1 spike is drawn." in one.said()
    one.press("Pass: nothing is left")
    one.press("See the result")
    one.press("Confirm the 1 spike that both readers passed")
    assert "1 spike is confirmed." in one.said()


def test_a_second_reader_is_sent_the_same_page_whatever_the_first_one_said(
    store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    """All that is sent for a spike with a review set to pass is what a plain pass would send."""
    build_session(store, count=11)
    pages = [_reading_of(store)]
    other = open_store(str(tmp_path / "other"))
    build_session(other, count=11, reviewed=False)
    # In the other records this one would be in the lot too.
    at = session_audit(other, SESSION).spikes[3].bagged_at
    assert at is not None
    other.spikes.add("C-0504-000", 4, Step(GivenUp("hail"), at, "Ida"))
    monkeypatch.setattr(resources, "store", lambda: other)
    resources.gallery.clear()
    pages.append(_reading_of(other))
    assert pages[0] == pages[1]
    assert str(_OVERRIDDEN) in pages[0]
    words = re.sub(r"[A-Za-z0-9+/=]{80,}", "", pages[0])  # pictures may spell anything
    for told in (*PEOPLE, "palea", "overrid", "risk", "R11", "Green anther", "IMG_"):
        assert told not in words
    other.close()


def _reading_of(store: Store) -> str:
    """Return what the page sends to read the one spike that is left."""
    for name in draw(store):
        if name != _OVERRIDDEN:
            read_again(store, name, Leftovers.NONE, by="Gro")
    one = supervisor()
    open_part(one, "reading")
    return sent(one)


def test_a_drawn_spike_is_hidden_in_the_gallery_until_it_is_read(store: Store):
    build_session(store, count=11)
    draw(store)
    one = supervisor()
    open_part(one, "gallery")
    hidden = "drawn: hidden until it is read again"
    assert one.said().count(hidden) == 10  # the eleventh stands at review, without a bag
    assert "✓" not in one.said()
    one.page.button("audit-open-0").click().run()
    assert "Nothing of it is shown" in one.said()
    for told in ("risk", "pass", "Ida", "History"):
        assert told not in one.said()
    read_again(store, SpikeName("C-0504-000", 1), Leftovers.NONE, by="Gro")
    one.page.run()
    assert "Checked by Ida" in one.said()


def test_pages_turn_and_spikes_follow_one_another(store: Store):
    build_session(store, count=30)
    one = supervisor()
    open_part(one, "gallery")
    assert "Spikes 1 to 24 of 30" in one.said()
    one.press("Next page")
    assert "Spikes 25 to 30 of 30" in one.said()
    assert one.button("Next page").disabled
    one.press("Page before")
    one.page.button("audit-open-3").click().run()
    assert "4 of 30" in one.said()
    assert "Green anther in floret R4." in one.said()
    one.press("Next spike")
    assert "5 of 30" in one.said()
    one.press("Back to the gallery")
    one.page.selectbox("audit-filter-verdict").set_value("review").run()
    assert "Spikes 1 to 2 of 2" in one.said()
    one.press("Show all")
    assert "Spikes 1 to 24 of 30" in one.said()


def test_without_a_session_it_is_said_where_one_is_added():
    said = supervisor(by="").said()
    assert "No session is recorded yet: add one on the Sessions screen." in said


def test_no_risk_in_the_gallery_is_called_none(store: Store):
    build_session(store, count=3)  # invented risks rise from nothing
    one = supervisor()
    open_part(one, "gallery")
    said = one.said()
    assert "risk under 1\N{NO-BREAK SPACE}%" in said
    assert "risk 0" not in said


def test_a_damaged_overlay_is_a_plain_tile(store: Store):
    build_session(store, count=3)
    (check,) = store.checks("C-0504-000", 1)
    for path in store._photos._candidates(check.photos[0].overlay_sha256):
        path.write_bytes(b"damaged")
    for path in store._photos._candidates(check.photos[1].overlay_sha256):
        path.unlink()
    one = supervisor()
    open_part(one, "gallery")
    assert one.said().count("picture missing or damaged") == 2
    one.page.button("audit-open-0").click().run()
    assert "the photo is damaged" in one.said()
    assert "the photo is missing" in one.said()


def test_nobody_reads_their_own(store: Store):
    build_session(store, count=1)
    draw(store)
    one = supervisor(by="Ida")
    open_part(one, "reading")
    assert "another person must read it" in one.said()
    assert "Pass: nothing is left" not in one.labels()


def test_a_name_is_needed_to_read(store: Store):
    build_session(store, count=1)
    draw(store)
    one = supervisor(by="")
    open_part(one, "reading")
    assert "Give your name" in one.said()


@pytest.mark.parametrize("part", ["reading", "result"])
def test_without_a_sample_the_way_to_it_is_offered(store: Store, part: str):
    build_session(store, count=2)
    one = supervisor()
    open_part(one, part)
    one.press("Draw a sample")
    assert one.page.segmented_control("audit-part").value == "sample"


@pytest.mark.parametrize("role", [Role.TECHNICIAN, Role.TRAINEE])
def test_only_a_supervisor_audits(store: Store, monkeypatch: pytest.MonkeyPatch, role: Role):
    build_session(store, count=1)
    monkeypatch.setattr(who, "current_person", lambda: Person("Ida", role, signed_in=True))
    one = supervisor(by="")
    assert SESSION not in sent(one)
    done: list[str] = []
    with pytest.raises(AccessError):
        audit_once(0, lambda name: tuple(done.append(name) or ()))
    assert not done


def test_names_and_reasons_are_shown_literally(store: Store):
    build_session(store, count=1, session="S-0504")
    store.sessions.add(CrossingSession(NASTY_ID, session_audit(store, SESSION).session.day,
                                       NASTY_ID, (NASTY_ID,)))  # fmt: skip
    (name,) = draw(store)
    read_again(store, name, Leftovers.UNSURE, by=NASTY_ID, note=NASTY_ID)
    decide(store, name, AuditDecision.SENT_BACK, by=NASTY_ID, reason=NASTY_ID)
    one = supervisor()
    one.page.selectbox("audit-session").set_value(SESSION).run()
    for part in ("overview", "gallery", "sample", "reading", "result", "charts"):
        open_part(one, part)
        assert NASTY_ID not in read_as_markup(one)
    open_part(one, "gallery")
    one.page.button("audit-open-0").click().run()
    assert NASTY_ID in one.said()
    assert NASTY_ID not in read_as_markup(one)


def test_a_spike_without_photos_is_read_in_the_hand(store: Store):
    build_session(store, count=1)
    now = datetime.now(UTC) - timedelta(minutes=9)
    store.spikes.add("C-0504-000", 2, Step(Emasculated(20, 60), now, "Ida", session=SESSION))
    store.spikes.add("C-0504-000", 2, Step(Bagged("no camera"), now, "Ida"))
    read_again(store, draw(store)[0], Leftovers.NONE, by="Gro")
    one = supervisor()
    open_part(one, "reading")
    assert "look at the spike itself" in one.said()
    one.press("Pass: nothing is left")
    audit = session_audit(store, SESSION)
    assert audit.sample is not None
    assert not audit.sample.unread
    assert audit.agreement is not None
    assert audit.agreement.spikes == 1  # the other has no first reading to agree with
