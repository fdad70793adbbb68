"""Practice on the page, by keyboard, as AppTest has no pointer; a browser test clicks."""

from __future__ import annotations

import json
from base64 import b64decode
from datetime import UTC, datetime, timedelta
from io import BytesIO
from typing import TYPE_CHECKING

import pytest
import streamlit as st
from PIL import Image
from streamlit.testing.v1 import AppTest

import resources
import who
from spikecheck.access import Person, Role
from spikecheck.bundled import bundled_folder
from spikecheck.vocabulary import AntherStage, PhotoTruth, Point, TrueAnther, Verdict, write_truth
from visitor import Visitor

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from spikecheck.store import Store

WIDTH, HEIGHT = 300, 400
LEFTOVER = TrueAnther(Point(200, 150), stage=AntherStage.GREEN, visible_area_mm2=0.2)
NASTY = "*a* :red[x] <b>B</b>"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Two clean photos and two with a leftover in the very middle; names that give it away."""
    made = tmp_path / "photos"
    made.mkdir()
    for number in range(4):
        name = f"{'leftover' if number < 2 else 'clean'}_{number}.png"
        Image.new("RGB", (WIDTH, HEIGHT), (60 + number, 120, 90)).save(made / name)
        truth = PhotoTruth(
            name, WIDTH, HEIGHT, (LEFTOVER,) if number < 2 else (), problems=(), px_per_mm=20.0,
            axis=(Point(390, 150), Point(10, 150)),
        )  # fmt: skip
        write_truth(truth, (made / name).with_suffix(".json"))
    monkeypatch.setenv("SPIKECHECK_PRACTICE_FOLDERS", str(made))
    return made


class Clock:
    """The server's time, set by the test."""

    def __init__(self) -> None:
        self.moment = datetime(2026, 5, 3, 8, tzinfo=UTC)

    def on(self, seconds: float) -> None:
        self.moment += timedelta(seconds=seconds)


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    made = Clock()
    monkeypatch.setattr(resources, "moment", lambda: made.moment)
    return made


@pytest.fixture
def trainee(folder: Path, store: Store, clock: Clock) -> Iterator[Visitor]:
    yield load("Mira")
    st.cache_resource.clear()


def load(name: str = "") -> Visitor:
    """Load the page, as a browser does, with a name in its address."""
    page = AppTest.from_file(str(bundled_folder("app") / "streamlit_app.py"), default_timeout=60)
    visitor = Visitor(page.run())
    if name:
        page.query_params["by"] = name
    visitor.go_to("practice")
    return visitor


def key(visitor: Visitor, name: str) -> None:
    """Press a button by its key."""
    visitor.page.button(f"practice-{name}").click().run()
    assert not visitor.page.exception


def leftover_on_view(store: Store) -> bool:
    """Whether the photo on view has a leftover, as the records know."""
    session = store.practice.of("Mira")[-1]
    upcoming = next(photo for photo in session.photos if photo.answer is None)
    return "green" in upcoming.drawn.truth


def answer(visitor: Visitor, store: Store, clock: Clock) -> bool:
    """Answer the photo on view rightly after its time; return whether it had a leftover."""
    there = leftover_on_view(store)
    clock.on(11)
    if there:
        key(visitor, "closer")
        key(visitor, "middle")
        key(visitor, "review")
    else:
        visitor.page.run()
        key(visitor, "pass")
    return there


def test_without_photos_it_says_how_to_get_some(store: Store):
    visitor = load("Mira")
    assert "no photos to practise with" in visitor.said()
    assert "spikecheck synth practice_photos" in visitor.page.code[0].value


def test_a_name_is_needed_and_stays_in_the_address(folder: Path, store: Store, clock: Clock):
    visitor = load()
    assert "Give your name" in visitor.said()
    visitor.page.text_input("by").set_value("Mira").run()
    assert "Where you stand" in [one.value for one in visitor.page.subheader]
    assert visitor.page.query_params["by"] in ("Mira", ["Mira"])


def test_the_server_refuses_an_answer_before_its_time(trainee: Visitor, store: Store, clock: Clock):
    key(trainee, "begin")
    assert "You can answer in 10 seconds" in trainee.said()
    clock.on(9)
    key(trainee, "pass")
    assert "Not yet: look into every floret for 1 more second" in trainee.said()
    (session,) = store.practice.of("Mira")
    assert session.photos[0].answer is None
    clock.on(1)
    key(trainee, "closer")
    assert "Not yet" not in trainee.said()
    key(trainee, "pass")
    (session,) = store.practice.of("Mira")
    assert session.photos[0].answer.verdict is Verdict.PASS


def test_a_whole_session_by_keyboard(trainee: Visitor, store: Store, clock: Clock):
    key(trainee, "begin")
    (session,) = store.practice.of("Mira")
    for number in range(len(session.photos)):
        there = answer(trainee, store, clock)
        said = trainee.said()
        assert ("Found: 1 leftover anther." if there else "Right: nothing is left") in said
        assert not there or "green; little of it shows (0.20 mm²); central third" in said
        assert "A rendered picture" in said
        last = number == len(session.photos) - 1
        assert trainee.page.button("practice-next").label == (
            "See how the session went" if last else "Next photo"
        )
        key(trainee, "next")
    said = trainee.said()
    assert "2 of 2, 100 %" in said.replace("\N{NO-BREAK SPACE}", " ")
    assert "False alarms on clean spikes" in said
    assert "15 more spikes with a leftover" in said
    key(trainee, "home")
    assert "4 photos here, 4 of them seen by you" in trainee.said()
    assert "You have seen every photo" in trainee.said()


def test_marks_are_taken_back_and_a_mark_means_review(trainee: Visitor, store: Store, clock: Clock):
    key(trainee, "begin")
    clock.on(11)
    other = load("Mira")  # a second tab, where the marks to come are not shown
    for name in ("closer", "middle", "right", "up", "middle"):
        key(trainee, name)
    assert trainee.page.button("practice-pass").disabled
    key(other, "pass")
    assert "cannot pass" in other.said()
    key(trainee, "back-0")
    key(trainee, "back-0")
    key(trainee, "whole")
    key(trainee, "pass")
    (session,) = store.practice.of("Mira")
    assert session.photos[0].answer.marks == "[]"


def test_a_reload_goes_on_with_photo_marks_and_time(trainee: Visitor, store: Store, clock: Clock):
    key(trainee, "begin")
    clock.on(4)
    key(trainee, "closer")
    key(trainee, "middle")
    again = load("Mira")
    assert "You can answer in 6 seconds" in again.said()
    assert "Take back mark 1" in again.labels()
    st.cache_resource.clear()  # as when the server was killed: marks are lost, nothing else
    later = load("Mira")
    assert "You can answer in 6 seconds" in later.said()
    assert "Take back mark 1" not in later.labels()
    assert len(store.practice.of("Mira")) == 1


def test_a_reload_after_the_answer_shows_its_truth(trainee: Visitor, store: Store, clock: Clock):
    key(trainee, "begin")
    answer(trainee, store, clock)
    again = load("Mira")
    assert "Next photo" in again.labels()
    clock.on(3600)
    assert "Go on: photo 2 of 4" in load("Mira").labels()


def test_at_the_end_of_a_block_comes_a_rest(trainee: Visitor, store: Store, clock: Clock):
    key(trainee, "begin")
    clock.on(1190)
    trainee.page.run()
    key(trainee, "review")
    clock.on(20)
    key(trainee, "next")
    assert "time for a rest" in trainee.said()
    assert "go on in 4:40 min" in trainee.said()
    assert "Go on" not in " ".join(trainee.labels())
    (session,) = store.practice.of("Mira")
    assert session.photos[1].shown_at == ()
    clock.on(280)
    trainee.page.run()
    key(trainee, "go-on")
    assert "You can answer in 10 seconds" in trainee.said()


def test_nothing_on_the_page_tells_the_truth_before_the_answer(
    trainee: Visitor, store: Store, folder: Path
):
    key(trainee, "begin")
    page = trainee.page
    protos = "".join(str(one.proto) for one in page.main)
    for path in folder.glob("*.png"):
        assert path.name not in protos
        assert path.stem not in protos
    assert "green" not in trainee.said()
    (picture,) = page.get("component_instance")
    source = json.loads(picture.proto.json_args)["src"]
    shown = Image.open(BytesIO(b64decode(source.split(",", 1)[1])))
    assert not shown.getexif()
    assert set(shown.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


def test_a_trainee_sees_own_results_only(
    trainee: Visitor, store: Store, clock: Clock, monkeypatch: pytest.MonkeyPatch
):
    key(trainee, "begin")
    answer(trainee, store, clock)
    others = load("Bo")
    assert "Everybody's practice" in [one.value for one in others.page.subheader]
    others.page.selectbox("practice-person").set_value("Mira").run()
    assert "Mira" in others.said()
    person = Person("Bo", Role.TRAINEE, signed_in=True)
    monkeypatch.setattr(who, "current_person", lambda: person)
    alone = load()
    assert "Practice" in [one.value for one in alone.page.header]
    assert "Everybody's practice" not in [one.value for one in alone.page.subheader]
    assert "Mira" not in alone.said()
    assert not alone.page.selectbox


def test_names_are_shown_literally(folder: Path, store: Store, clock: Clock):
    visitor = load(NASTY)
    key(visitor, "begin")
    other = load("Mira")
    other.page.selectbox("practice-person").set_value(NASTY).run()
    assert not other.page.exception
    assert all(NASTY not in one.value for one in [*other.page.markdown, *other.page.caption])


def test_numbers_that_cannot_be_are_told(
    folder: Path, store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    (tmp_path / "numbers.toml").write_text("viewing_s = 0", encoding="utf-8")
    monkeypatch.setenv("SPIKECHECK_PRACTICE_NUMBERS", str(tmp_path / "numbers.toml"))
    assert "times need 0 &lt; viewing_s &lt; block_s" in load("Mira").said()
