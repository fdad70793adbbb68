"""The work on the Check screen: cross, photos, verdict, record, decision by hand, next spike."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from spikecheck.bench_check import draft, judging
from spikecheck.errors import StoreError
from spikecheck.photo import PHOTO_SUFFIXES
from spikecheck.vocabulary import Risk, Verdict

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.store import Store
    from spikecheck.vocabulary import CheckResult
    from visitor import Visitor

    Picture = Callable[[int], bytes]


def test_takes_every_kind_of_photo_that_can_be_read(visitor: Visitor):
    assert {*visitor.page.file_uploader[0].allowed_type} >= PHOTO_SUFFIXES


def test_a_cross_is_added_and_chosen(visitor: Visitor, store: Store):
    for key, text in (("id", "SPICA-8"), ("female", "Ähre"), ("male", "B"), ("note", "late")):
        visitor.page.text_input(f"new-{key}").set_value(text)
    visitor.press("Add this cross")
    assert visitor.page.selectbox("cross").value == "SPICA-8"
    assert visitor.page.text_input("new-id").value == ""
    cross = store.cross("SPICA-8")
    assert (cross.female, cross.male, cross.note) == ("Ähre", "B", "late")


def test_a_refused_cross_says_why_and_keeps_what_was_typed(visitor: Visitor):
    for key, text in (("id", "SPICA-7"), ("female", "A"), ("male", "B")):
        visitor.page.text_input(f"new-{key}").set_value(text)
    visitor.press("Add this cross")
    assert "the cross SPICA-7 is recorded already. Use it, or give another id" in visitor.said()
    assert visitor.page.text_input("new-female").value == "A"


def test_review_shows_places_to_go_back_to_in_order_with_crop_and_map(
    visitor: Visitor, png: Picture, answer_review: None
):
    visitor.check(png(1))
    said = visitor.said()
    assert "REVIEW" in said
    assert "PASS" not in said
    told = [
        "1. Left side, floret 2 from the base",
        "Green anther in floret L2.",
        "2. Outside the florets",
        "Green anther outside the florets.",
    ]
    assert all(one in said for one in told)
    assert [one.value for one in visitor.page.subheader] == ["Go back to these florets"]
    assert "Only one face was photographed." in said
    overlays, pictures_a_place, places = 1, 2, 2
    assert len(visitor.page.image) == 1 + overlays + places * pictures_a_place  # and a preview


def test_pass_says_so_and_asks_for_a_last_look(visitor: Visitor, png: Picture, answer_pass: None):
    visitor.check(png(1))
    assert "PASS" in visitor.said()
    assert "Look it over once more yourself" in visitor.said()
    assert "How many spikes with an anther in sight pass by mistake is not known" in visitor.said()


def test_several_photos_are_faces_of_one_spike(visitor: Visitor, png: Picture, answer_review: None):
    visitor.choose()
    visitor.upload(("a.png", png(1)), ("b.png", png(2)))
    assert "Photo 2: b.png" in visitor.said()
    assert "Photo 2, marked" in visitor.said()
    assert visitor.said().count("REVIEW") == 1


def test_photos_with_something_to_go_back_to_come_first(
    visitor: Visitor, png: Picture, review: Callable[..., CheckResult],
    monkeypatch: pytest.MonkeyPatch, store: Store,
):  # fmt: skip
    def second_has_one(photos, **_: object) -> CheckResult:
        result = review(photos)
        reasons = (replace(result.reasons[0], photo=1), result.reasons[2])
        return replace(result, reasons=reasons)

    monkeypatch.setattr(judging, "check_photos", second_has_one)
    monkeypatch.setattr("resources.finder", lambda: None)
    visitor.record(png(1), png(2))
    said = visitor.said()
    assert said.index("Photo 2, marked") < said.index("Photo 1, marked, nothing to go back to")
    (check,) = store.checks("SPICA-7")
    visitor.go_to("records")
    visitor.press("Show its checks")
    visitor.page.toggle(f"photos-{check.id}").set_value(True).run()
    said = visitor.said()
    assert said.index("2.png") < said.index("1.png")


def test_a_bad_file_gets_one_line_and_the_others_go_on(
    visitor: Visitor, png: Picture, answer_pass: None
):
    visitor.upload(("broken.png", b"no picture"), ("a.png", png(1)), ("empty.png", b""))
    text = visitor.said()
    assert text.count("broken.png") == 1
    assert text.count("empty.png") == 1
    assert "Photo 1: a.png" in text
    assert "PASS" in visitor.said()


def test_the_same_photo_is_taken_once(visitor: Visitor, png: Picture, answer_pass: None):
    visitor.upload(("a.png", png(1)))
    visitor.upload(("again.png", png(1)))
    assert "again.png: is there already" in visitor.said()
    assert "Photo 2" not in visitor.said()


def test_another_photo_is_judged_together_with_the_first(
    visitor: Visitor, png: Picture, review: Callable[..., CheckResult],
    monkeypatch: pytest.MonkeyPatch,
):  # fmt: skip
    looked: list[int] = []

    def answer(photos, **_: object) -> CheckResult:
        looked.append(len(photos))
        return review(photos)

    monkeypatch.setattr(judging, "check_photos", answer)
    monkeypatch.setattr("resources.finder", lambda: None)
    visitor.upload(("a.png", png(1)))
    visitor.upload(("b.png", png(2)))
    visitor.press("Leave out photo 1")
    assert looked == [1, 2, 1]
    visitor.press("Leave out photo 1")
    assert "REVIEW" not in visitor.said()
    assert "Record this check" not in visitor.labels()
    assert looked == [1, 2, 1]


def test_nothing_is_recorded_before_cross_and_name_are_given(
    visitor: Visitor, png: Picture, answer_pass: None
):
    visitor.upload(("a.png", png(1)))
    assert "To record this check, give: cross, name (above)." in visitor.said()
    assert visitor.button("Record this check").disabled
    visitor.choose(by="   ")
    assert "To record this check, give: name (above)." in visitor.said()


def test_the_record_holds_the_verdict_the_photo_and_the_overlay(
    visitor: Visitor, png: Picture, answer_review: None, store: Store
):
    visitor.record(png(1))
    (check,) = store.checks("SPICA-7")
    assert f"Recorded as check {check.id}: cross SPICA-7, spike 1, by Ilse." in visitor.said()
    assert check.verdict is Verdict.REVIEW
    assert store.photo(check.photos[0]) == png(1)
    assert store.overlay(check.photos[0]).startswith(b"\xff\xd8")  # JPEG
    names = [str(one.key).rpartition("-")[0] for one in visitor.page.file_uploader]
    assert names == ["after"]  # what is recorded does not change any more


def test_a_failed_record_says_so_and_can_be_tried_again(
    visitor: Visitor,
    png: Picture,
    answer_pass: None,
    store: Store,
    monkeypatch: pytest.MonkeyPatch,
):
    visitor.check(png(1))
    with monkeypatch.context() as broken:

        def refuse(*_: object, **__: object) -> None:
            raise StoreError("the disk is full", cure="Make room and try again")

        broken.setattr(draft, "record_draft", refuse)
        visitor.press("Record this check")
    assert "the disk is full. Make room and try again" in visitor.said()
    assert store.checks("SPICA-7") == ()
    visitor.press("Record this check")
    assert len(store.checks("SPICA-7")) == 1


def test_an_override_needs_a_reason_and_a_name(
    visitor: Visitor, png: Picture, answer_review: None, store: Store
):
    visitor.record(png(1))
    (check,) = store.checks("SPICA-7")
    assert visitor.page.text_input(f"override-by-{check.id}-0").value == "Ilse"
    visitor.press("Record my decision")
    assert "the reason of the override is empty" in visitor.said()
    visitor.page.text_area(f"reason-{check.id}-0").set_value("It was a piece of palea")
    visitor.page.text_input(f"override-by-{check.id}-0").set_value(" ")
    visitor.press("Record my decision")
    assert "the name of who overrides is empty" in visitor.said()
    assert store.check(check.id).overrides == ()


def test_an_override_is_kept_beside_the_check(
    visitor: Visitor, png: Picture, answer_review: None, store: Store
):
    visitor.record(png(1))
    (check,) = store.checks("SPICA-7")
    visitor.page.text_area(f"reason-{check.id}-0").set_value("It was a piece of palea")
    visitor.press("Record my decision")
    after = store.check(check.id)
    assert (after.verdict, after.standing_verdict) == (Verdict.REVIEW, Verdict.PASS)
    (override,) = after.overrides
    assert (override.by, override.reason) == ("Ilse", "It was a piece of palea")
    assert "It was a piece of palea" in visitor.said()


@pytest.mark.parametrize(("label", "spike"), [("Leave this spike, go to the next", 2)])
def test_after_the_record_the_next_check_starts_empty(
    visitor: Visitor, png: Picture, answer_pass: None, label: str, spike: int
):
    visitor.record(png(1))
    visitor.press(label)
    assert visitor.page.number_input("spike").value == spike
    assert visitor.page.selectbox("cross").value == "SPICA-7"
    assert visitor.page.text_input("by").value == "Ilse"
    assert not visitor.page.image
    assert "PASS" not in visitor.said()


def test_another_screen_and_back_keeps_the_work(visitor: Visitor, png: Picture, answer_pass: None):
    visitor.choose(spike=4)
    visitor.upload(("a.png", png(1)))
    visitor.go_to("spikes")
    visitor.go_to("check")
    assert visitor.page.number_input("spike").value == 4
    assert visitor.page.selectbox("cross").value == "SPICA-7"
    assert visitor.page.text_input("by").value == "Ilse"
    assert "Photo 1: a.png" in visitor.said()


def test_the_camera_stays_off_until_it_is_asked_for(
    visitor: Visitor, png: Picture, answer_pass: None
):
    assert not visitor.page.camera_input
    visitor.page.toggle("camera").set_value(True).run()
    visitor.page.camera_input[0].set_value(("shot.jpg", png(1), "image/jpeg")).run()
    assert "Photo 1: shot.jpg" in visitor.said()
    assert "PASS" in visitor.said()


def test_cautions_stand_where_the_work_happens(visitor: Visitor):
    text = visitor.said()
    assert "Let the tips dry fully before they touch a floret" in text
    assert "Cut away from your fingers" in text
    assert "the safety data sheet of the product you use and your supervisor" in text


@pytest.mark.usefixtures("answer_pass")
@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.0, "under 1\N{NO-BREAK SPACE}%"),
        (0.004, "under 1\N{NO-BREAK SPACE}%"),
        (0.5, "50\N{NO-BREAK SPACE}%"),
        (0.997, "over 99\N{NO-BREAK SPACE}%"),
    ],
)
def test_no_chance_is_called_certain(
    visitor: Visitor,
    png: Picture,
    monkeypatch: pytest.MonkeyPatch,
    share: float,
    words: str,
):
    answer = judging.check_photos

    def with_risk(*photos: object, **others: object) -> CheckResult:
        risk = Risk(share, 0.25, calibrated=False)
        return replace(answer(*photos, **others), risk=risk)  # type: ignore[arg-type]

    monkeypatch.setattr(judging, "check_photos", with_risk)
    visitor.check(png(1))
    said = visitor.said()
    assert f"Chance that an anther is left: {words}. Share of selfed seed to expect: 25" in said
    assert "(a rough figure, more high" in said


@pytest.mark.usefixtures("answer_review")
def test_where_no_floret_was_seen_no_chance_is_told(visitor: Visitor, png: Picture):
    visitor.check(png(1))  # the made-up answer has no expected share: no floret was judged
    said = visitor.said()
    assert "Chance that an anther is left: not known, no floret could be judged" in said
    assert "50\N{NO-BREAK SPACE}%" not in said
