"""Marking photos: by numbers, as AppTest has no pointer; clicks are tried in a real browser."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import streamlit as st
from PIL import Image
from streamlit.testing.v1 import AppTest

import resources
from spikecheck.bundled import bundled_folder
from spikecheck.labelling.label_file import label_path
from spikecheck.vocabulary import AntherStage, Point, QualityProblem, Verdict, read_truth
from tests.builders import HEIGHT, MODEL, WIDTH, anther, findings, floret
from visitor import Visitor

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from spikecheck.vocabulary import PhotoTruth

NASTY = "*a* :red[x] <b>.png"


class StandsIn:
    """Finds an anther in L3, one outside, and two florets."""

    model = MODEL

    def find(self, _):
        return findings([floret("L3"), floret("R2")], [anther("L3"), anther(None, score=0.4)])


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for number, name in enumerate(("a.png", NASTY, "z.png")):
        Image.new("RGB", (WIDTH, HEIGHT), (60 + number, 120, 90)).save(tmp_path / name)
    monkeypatch.setenv("SPIKECHECK_LABEL_FOLDER", str(tmp_path))
    monkeypatch.setenv("SPIKECHECK_STORE", str(tmp_path / "records"))
    monkeypatch.setattr(resources, "finder", StandsIn)
    return tmp_path


@pytest.fixture
def marker(folder: Path) -> Iterator[Visitor]:
    """Someone who marks the photos, with a name."""
    st.cache_resource.clear()
    page = AppTest.from_file(str(bundled_folder("app") / "streamlit_app.py"), default_timeout=60)
    visitor = Visitor(page.run())
    assert not page.exception
    page.text_input("by").set_value("Ilse").run()
    yield visitor
    st.cache_resource.clear()


def choose(marker: Visitor, photo: str) -> None:
    names = [label.split(" ", 1)[1] for label in marker.page.selectbox("label-photo").options]
    marker.page.selectbox("label-photo").set_value(names.index(photo)).run()
    assert not marker.page.exception


def place(marker: Visitor, x: float, y: float, stage: AntherStage = AntherStage.GREEN) -> None:
    marker.page.radio("label-stage").set_value(stage)
    marker.page.number_input("label-x").set_value(x)
    marker.page.number_input("label-y").set_value(y)
    marker.press("Place it here")


def saved(folder: Path, name: str = "a.png") -> PhotoTruth:
    return read_truth(label_path(folder / name))


def options_of(marker: Visitor) -> list[str]:
    return [label.split(" ", 1)[0] for label in marker.page.selectbox("label-photo").options]


def first_photo(marker: Visitor) -> None:
    choose(marker, "a.png")


def test_an_anther_is_marked_with_its_stage_and_saved(marker: Visitor, folder: Path):
    first_photo(marker)
    place(marker, 150, 780, AntherStage.YELLOW)
    truth = saved(folder)
    (mark,) = truth.anthers
    assert (mark.centre, mark.stage) == (Point(780, 150), AntherStage.YELLOW)
    assert truth.marked_by == "Ilse"
    assert not truth.complete
    assert "Saved so far; not finished." in marker.said()


def test_a_mark_is_restaged_moved_and_removed(marker: Visitor, folder: Path):
    first_photo(marker)
    place(marker, 150, 780)
    marker.page.selectbox("label-stage-0").set_value(AntherStage.DEHISCED).run()
    assert saved(folder).anthers[0].stage is AntherStage.DEHISCED
    marker.page.radio("label-tool").set_value("Move an anther").run()
    marker.page.number_input("label-x").set_value(10)
    marker.page.number_input("label-y").set_value(20)
    marker.press("Place it here")
    assert [mark.centre for mark in saved(folder).anthers] == [Point(20, 10)]
    marker.press("Remove 1")
    assert saved(folder).anthers == ()


def test_undo_and_redo_reach_the_disk(marker: Visitor, folder: Path):
    first_photo(marker)
    assert marker.button("Undo").disabled
    place(marker, 150, 780)
    marker.press("Undo")
    assert not label_path(folder / "a.png").exists()
    marker.press("Redo")
    assert len(saved(folder).anthers) == 1


def test_a_photo_is_finished_and_counted(marker: Visitor, folder: Path):
    first_photo(marker)
    marker.press("Nothing is left: I looked into every floret")
    assert saved(folder).verdict is Verdict.PASS
    assert "1 of 3 photos finished. Spikes with a leftover: 0; clean: 1." in marker.said()
    place(marker, 150, 780)
    assert "0 of 3 photos finished" in marker.said()
    marker.press("That is all: 1 marked, nothing else is left")
    assert saved(folder).verdict is Verdict.REVIEW
    assert "Spikes with a leftover: 1; clean: 0." in marker.said()
    assert "For a promise of 1\N{NO-BREAK SPACE}%: 98 more spikes with a leftover." in marker.said()
    marker.press("Not finished after all")
    assert not saved(folder).complete


def test_florets_are_marked_and_removed(marker: Visitor, folder: Path):
    first_photo(marker)
    marker.page.radio("label-tool").set_value("Mark a floret").run()
    marker.page.toggle("label-clipped").set_value(False).run()
    marker.page.number_input("label-x").set_value(150)
    marker.page.number_input("label-y").set_value(780)
    marker.press("Place it here")
    (mark,) = saved(folder).florets
    assert (mark.id, mark.clipped, mark.cavity_visible) == ("L1", False, 1.0)
    assert mark.box.right - mark.box.left == pytest.approx(HEIGHT / 25, abs=0.2)
    marker.press("Remove floret L1")
    assert saved(folder).florets is None


def test_base_and_tip_with_a_ruler_give_the_scale(marker: Visitor, folder: Path):
    first_photo(marker)
    marker.page.radio("label-tool").set_value("Show base and tip").run()
    marker.page.number_input("label-length").set_value(84.0).run()
    for row in (900, 60):
        marker.page.number_input("label-x").set_value(200)
        marker.page.number_input("label-y").set_value(row)
        marker.press("Place it here")
    truth = saved(folder)
    assert truth.axis == (Point(900, 200), Point(60, 200))
    assert truth.px_per_mm == 10


def test_suggestions_are_no_marks_before_they_are_confirmed(marker: Visitor, folder: Path):
    first_photo(marker)
    marker.press("Let the check look at this photo")
    assert not label_path(folder / "a.png").exists()
    marker.press("It is there: ?1")
    assert [mark.stage for mark in saved(folder).anthers] == [AntherStage.GREEN]
    marker.press("It is not: ?2")
    marker.press("All 2 suggested florets are right")
    truth = saved(folder)
    assert len(truth.anthers) == 1
    assert [mark.id for mark in truth.florets] == ["L1", "R1"]
    assert truth.anthers[0].floret == "L1"
    marker.press("Let the check look at this photo")
    assert "It is not: ?1" in marker.labels()


def test_nobody_marks_without_a_name_or_a_stage(marker: Visitor, folder: Path):
    first_photo(marker)
    marker.page.text_input("by").set_value(" ").run()
    marker.press("Nothing is left: I looked into every floret")
    assert "nobody is named" in marker.said()
    marker.page.text_input("by").set_value("Ilse").run()
    marker.press("Place it here")
    assert "Choose the stage of the anther first" in marker.said()
    assert not label_path(folder / "a.png").exists()


def test_spike_and_problems_are_kept(marker: Visitor, folder: Path):
    first_photo(marker)
    marker.page.text_input("label-spike").set_value("T-4").run()
    marker.page.multiselect("label-problems").set_value([QualityProblem.DARK]).run()
    marker.press("Nothing is left: I looked into every floret")
    truth = saved(folder)
    assert (truth.spike, truth.problems, truth.verdict) == (
        "T-4", (QualityProblem.DARK,), Verdict.REVIEW,
    )  # fmt: skip


def test_marks_somebody_else_changed_are_not_overwritten(marker: Visitor, folder: Path):
    first_photo(marker)
    place(marker, 150, 780)
    label_path(folder / "a.png").write_text(
        '{"image": "a.png", "width": 400, "height": 1000, "anthers": []}', encoding="utf-8"
    )
    place(marker, 20, 20)
    assert "somebody else changed the marks of this photo" in marker.said()
    assert saved(folder).anthers == ()
    marker.press("Load this photo again")
    assert "somebody else" not in marker.said()
    place(marker, 20, 20)
    assert len(saved(folder).anthers) == 1


def test_photos_come_one_after_the_other_with_how_far_they_are(marker: Visitor, folder: Path):
    first_photo(marker)
    place(marker, 150, 780)
    marker.press("That is all: 1 marked, nothing else is left")
    marker.press("Photo before")
    assert set(options_of(marker)) == {
        "\N{BLACK CIRCLE}", "\N{WHITE CIRCLE}",
    }  # fmt: skip
    assert marker.button("Photo before").disabled
    marker.press("Next photo")
    marker.press("Next photo")
    assert marker.button("Next photo").disabled


def test_a_file_that_is_no_truth_is_told_and_kept(marker: Visitor, folder: Path):
    label_path(folder / "z.png").write_text("{}", encoding="utf-8")
    choose(marker, "z.png")
    assert "lacks the entry" in marker.said()
    assert label_path(folder / "z.png").read_text(encoding="utf-8") == "{}"
    choose(marker, "a.png")
    assert "lacks the entry" not in marker.said()


def test_a_photo_with_an_odd_name_is_marked(marker: Visitor, folder: Path):
    choose(marker, NASTY)
    place(marker, 150, 780)
    assert len(saved(folder, NASTY).anthers) == 1


def test_without_a_folder_of_the_command_there_is_nothing_to_mark(
    marker: Visitor, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
):
    monkeypatch.delenv("SPIKECHECK_LABEL_FOLDER")
    page = AppTest.from_file(str(bundled_folder("app") / "streamlit_app.py"), default_timeout=60)
    page.run()
    assert "Check a spike" in [header.value for header in page.header]
    assert not [one for one in page.selectbox if one.key == "label-photo"]


def test_an_empty_folder_is_one_line(folder: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path):
    (tmp_path / "empty").mkdir()
    monkeypatch.setenv("SPIKECHECK_LABEL_FOLDER", str(tmp_path / "empty"))
    page = AppTest.from_file(str(bundled_folder("app") / "streamlit_app.py"), default_timeout=60)
    assert "holds no photo" in Visitor(page.run()).said()
