"""At the bench: record, bag, next spike; take a photo again; come back after a reload."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from types import SimpleNamespace
from typing import TYPE_CHECKING

import pytest
from streamlit.testing.v1 import AppTest

import resources
import who
from season_steps import CROSS, emasculate
from spikecheck.access import Person, Role
from spikecheck.bench_check import judging
from spikecheck.errors import StoreError
from spikecheck.vocabulary import PhotoQuality, QualityProblem, Reason, Verdict
from visitor import Visitor

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.store import Store
    from spikecheck.vocabulary import CheckResult

    Picture = Callable[[int], bytes]

RECORD, BAG, NEXT = "Record this check", "The bag is on: record it", "Next spike"


@pytest.fixture
def later(monkeypatch: pytest.MonkeyPatch) -> None:
    """Bags are tapped ten seconds after the check was recorded, as in a season before today."""
    import widgets.next_action

    def now(_: object = None) -> datetime:
        return datetime.now(UTC) + timedelta(seconds=10)

    monkeypatch.setattr(widgets.next_action, "datetime", SimpleNamespace(now=now))
    monkeypatch.setattr("spikecheck.store.spike_history.now", now)


@pytest.fixture
def answer_retake(monkeypatch: pytest.MonkeyPatch, review: Callable[..., CheckResult]) -> None:
    """The first photo is out of focus; any later set of photos has an anther in L2."""
    asked: list[str] = []

    def answer(photos, **_: object) -> CheckResult:
        result = review(photos)
        asked.append(photos[0].sha256)
        if photos[0].sha256 != asked[0]:
            return result
        blurred = replace(
            result.photos[0], quality=PhotoQuality(usable=False, problems=(QualityProblem.DEFOCUS,))
        )
        reason = Reason("defocus", "The spike is out of focus: tap on it.", 0)
        return replace(
            result, photos=(blurred, *result.photos[1:]), reasons=(*result.reasons[:1], reason)
        )

    monkeypatch.setattr(judging, "check_photos", answer)
    monkeypatch.setattr(resources, "finder", lambda: None)


def sign_in(monkeypatch: pytest.MonkeyPatch, name: str, role: Role = Role.TECHNICIAN) -> None:
    monkeypatch.setattr(who, "current_person", lambda: Person(name, role, signed_in=True))
    for module in ("kept", "widgets.spike_choice", "widgets.override", "widgets.next_action"):
        monkeypatch.setattr(f"{module}.current_person", who.current_person)


def reloaded(visitor: Visitor) -> Visitor:
    """The same address in a tab that remembers nothing."""
    page = AppTest.from_file(visitor.page._script_path, default_timeout=60)
    for name in visitor.page.query_params:
        page.query_params[name] = visitor.page.query_params[name]
    return Visitor(page.run())


def on_disk(store: Store) -> list[str]:
    return [one.by for one in store.drafts.of("")]


def test_whatever_stands_in_the_address_the_page_begins_empty(visitor: Visitor):
    for name, value in (
        ("check", "9" * 5000), ("check", "\N{ARABIC-INDIC DIGIT ONE}"), ("check", "1 OR 1=1"),
        ("draft", "../../photos"), ("draft", "a" * 5000), ("language", "<b>"),
    ):  # fmt: skip
        page = AppTest.from_file(visitor.page._script_path, default_timeout=60)
        page.query_params[name] = value
        page.run()
        assert not page.exception
        assert "Check a spike" in {one.value for one in page.header}


def test_a_pass_is_recorded_bagged_and_left_in_three_taps(
    visitor: Visitor, store: Store, png: Picture, answer_pass: None, later: None
):
    emasculate(store, 1)
    visitor.check(png(1))
    for tap in (RECORD, BAG, NEXT):
        visitor.press(tap)
    record = store.spikes.one(CROSS, 1)
    assert record.verdict is Verdict.PASS
    assert record.bagged_at is not None
    assert visitor.page.number_input("spike").value == 2
    assert visitor.page.text_input("by").value == "Ilse"
    assert not store.drafts.of("")


def test_the_second_tap_on_one_place_bags_nothing(
    visitor: Visitor,
    store: Store,
    png: Picture,
    answer_pass: None,
    monkeypatch: pytest.MonkeyPatch,
):
    import widgets.next_action

    emasculate(store, 1)
    visitor.record(png(1))
    (check,) = store.checks(CROSS)
    soon = SimpleNamespace(now=lambda _zone: check.at + timedelta(seconds=1))
    monkeypatch.setattr(widgets.next_action, "datetime", soon)
    visitor.press(BAG)
    assert "right after the one before" in visitor.said()
    assert store.spikes.one(CROSS, 1).bagged_at is None
    assert BAG in visitor.labels()


def test_no_bag_is_offered_on_a_review_until_somebody_decides_otherwise(
    visitor: Visitor, store: Store, png: Picture, answer_review: None, later: None
):
    emasculate(store, 1)
    visitor.record(png(1))
    assert BAG not in visitor.labels()
    (check,) = store.checks(CROSS)
    visitor.page.text_area(f"reason-{check.id}-0").set_value("It was palea")
    visitor.press("Record my decision")
    visitor.press(BAG)
    assert store.spikes.one(CROSS, 1).bagged_at is not None


def test_after_a_review_one_new_photo_begins_the_next_check_of_the_spike(
    visitor: Visitor, store: Store, png: Picture, answer_review: None
):
    emasculate(store, 1)
    visitor.record(png(1))
    visitor.upload(("after.png", png(2)), control="after")
    assert "Photo 1: after.png" in visitor.said()
    visitor.press(RECORD)
    assert [len(one.photos) for one in store.checks(CROSS, 1)] == [1, 1]


def test_a_spike_nobody_emasculated_is_led_to_its_page(
    visitor: Visitor, store: Store, png: Picture, answer_pass: None
):
    visitor.record(png(1))
    assert "That this spike was emasculated is not recorded yet" in visitor.said()
    visitor.press("Open the page of this spike")
    assert f"Spike {CROSS}/1" in visitor.said()


def test_a_bad_photo_is_replaced_by_the_new_one(
    visitor: Visitor, png: Picture, answer_retake: None
):
    visitor.check(png(1))
    said = visitor.said()
    assert "Take the photo again: The spike is out of focus: tap on it." in said
    visitor.upload(("sharp.png", png(2)), control="again-0")
    assert "Take the photo again" not in visitor.said()
    assert "Photo 1: sharp.png" in visitor.said()
    assert "Photo 2" not in visitor.said()


def test_a_file_that_is_no_photo_replaces_nothing(
    visitor: Visitor, png: Picture, answer_retake: None
):
    visitor.check(png(1))
    visitor.upload(("broken.png", b"no picture"), control="again-0")
    assert "broken.png" in visitor.said()
    assert "Photo 1: 1.png" in visitor.said()


def test_the_next_number_of_a_cross_is_proposed(
    visitor: Visitor, store: Store, png: Picture, answer_pass: None
):
    emasculate(store, 6)
    visitor.choose(spike=6)
    visitor.upload(("1.png", png(1)))
    visitor.press(RECORD)
    other = reloaded(visitor)
    other.page.query_params.clear()
    fresh = Visitor(AppTest.from_file(visitor.page._script_path, default_timeout=60).run())
    fresh.page.selectbox("cross").set_value(CROSS).run()
    assert fresh.page.number_input("spike").value == 7


def test_a_reload_brings_photos_choices_and_verdict_back(
    visitor: Visitor, store: Store, png: Picture, answer_review: None
):
    visitor.choose(spike=3)
    visitor.upload(("a.png", png(1)), ("b.png", png(2)))
    again = reloaded(visitor)
    assert "Photo 2: b.png" in again.said()
    assert "REVIEW" in again.said()
    assert again.page.selectbox("cross").value == CROSS
    assert again.page.number_input("spike").value == 3
    assert again.page.text_input("by").value == "Ilse"
    again.press(RECORD)
    assert len(store.checks(CROSS, 3)) == 1
    assert on_disk(store) == []


def test_a_reload_after_recording_goes_on_with_the_bag(
    visitor: Visitor, store: Store, png: Picture, answer_pass: None, later: None
):
    emasculate(store, 1)
    visitor.record(png(1))
    again = reloaded(visitor)
    assert "Recorded as check 1" in again.said()
    again.press(BAG)
    assert store.spikes.one(CROSS, 1).bagged_at is not None
    assert len(store.checks(CROSS)) == 1


def test_a_pass_that_holds_no_more_leads_to_a_new_photo(
    visitor: Visitor, store: Store, png: Picture, answer_pass: None,
    monkeypatch: pytest.MonkeyPatch,
):  # fmt: skip
    emasculate(store, 1)
    visitor.record(png(1))
    assert "PASS" in visitor.said()
    import widgets.next_action

    much_later = SimpleNamespace(now=lambda zone: datetime.now(zone) + timedelta(days=4))
    monkeypatch.setattr(widgets.next_action, "datetime", much_later)
    again = reloaded(visitor)
    said = again.said()
    assert "It passed, but that held until about" in said
    assert "PASS" not in said
    assert BAG not in again.labels()
    again.upload(("after.png", png(2)), control="after")
    assert "Photo 1: after.png" in again.said()


def test_without_the_address_the_check_is_offered_and_may_be_left_out(
    visitor: Visitor, store: Store, png: Picture, answer_pass: None
):
    visitor.check(png(1))
    fresh = Visitor(AppTest.from_file(visitor.page._script_path, default_timeout=60).run())
    assert "is not recorded yet: 1 photo" in fresh.said()
    fresh.press("Go on with it")
    assert "PASS" in fresh.said()
    fresh = Visitor(AppTest.from_file(visitor.page._script_path, default_timeout=60).run())
    fresh.press("Leave it out")
    assert "is not recorded yet" not in fresh.said()
    assert on_disk(store) == []


def test_one_draft_in_two_tabs_is_recorded_once(
    visitor: Visitor, store: Store, png: Picture, answer_pass: None
):
    visitor.check(png(1))
    other = reloaded(visitor)
    visitor.press(RECORD)
    other.press(RECORD)
    assert "this check was recorded or left out elsewhere" in other.said()
    assert len(store.checks(CROSS)) == 1


def test_another_person_never_sees_a_draft(
    visitor: Visitor, store: Store, png: Picture, answer_pass: None, monkeypatch: pytest.MonkeyPatch
):
    sign_in(monkeypatch, "Ida")
    visitor.page.run()
    visitor.page.selectbox("cross").set_value(CROSS).run()
    visitor.upload(("mine.png", png(1)))
    assert [one.owner for one in store.drafts.of("Ida")] == ["Ida"]
    sign_in(monkeypatch, "Bo")
    other = reloaded(visitor)
    assert "mine.png" not in other.said()
    assert "not recorded yet" not in other.said()
    assert "Go on with it" not in other.labels()
    sign_in(monkeypatch, "Ida")
    assert "mine.png" in reloaded(visitor).said()
    visitor.press(RECORD)
    assert store.checks(CROSS)[0].by == "Ida"
    sign_in(monkeypatch, "Bo")
    assert "mine.png" not in reloaded(visitor).said()


def test_a_trainee_is_refused(visitor: Visitor, monkeypatch: pytest.MonkeyPatch):
    trainee = Person("Tim", Role.TRAINEE, signed_in=True)
    monkeypatch.setattr(who, "current_person", lambda: trainee)
    visitor.page.run()
    assert "a trainee may not do this" in visitor.said()
    assert not visitor.page.file_uploader


def test_a_full_disk_is_told_and_the_verdict_still_comes(
    visitor: Visitor, store: Store, png: Picture, answer_pass: None, monkeypatch: pytest.MonkeyPatch
):
    def full(*_: object, **__: object) -> None:
        raise StoreError("the disk is full", cure="Make room and try again")

    visitor.choose()
    monkeypatch.setattr(store.drafts, "keep", full)
    visitor.upload(("a.png", png(1)))
    assert "the disk is full" in visitor.said()
    assert "PASS" in visitor.said()
