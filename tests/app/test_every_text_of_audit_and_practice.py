"""Audit and practice, step by step, in a language that marks every text of the catalogue."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
import streamlit as st
from PIL import Image
from streamlit.testing.v1 import AppTest

import resources
from shown import shown_texts
from spikecheck.bundled import bundled_folder
from spikecheck.vocabulary import AntherStage, PhotoTruth, Point, TrueAnther, write_truth
from tests.audited_session import PEOPLE, build_session
from tests.made_up_language import marked, spoken, unmarked
from visitor import Visitor

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from spikecheck.store import Store

DATA = [
    "a bit of palea, seen in the hand lens", *PEOPLE, "Gro", "Mira", "House", "labels", "invented",
    "jpg", "spikecheck", "English", "Español", "kappa", "AC1", "d'",
]  # fmt: skip


@pytest.fixture
def made_up_language(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[None]:
    monkeypatch.setenv("SPIKECHECK_CACHE", str(tmp_path / "cache"))
    monkeypatch.setenv("SPIKECHECK_ZONE", "UTC")
    with spoken(monkeypatch):
        yield


def load(screen: str, by: str) -> Visitor:
    page = AppTest.from_file(str(bundled_folder("app") / "streamlit_app.py"), default_timeout=60)
    one = Visitor(page.run())
    page.query_params["by"] = by
    one.go_to(screen)
    if "by" in [each.key for each in page.text_input]:
        page.text_input("by").set_value(by).run()
    return one


def left_unmarked(one: Visitor) -> list[str]:
    return unmarked(shown_texts(one.page), data=DATA)


def button(one: Visitor, begins: str) -> str:
    return next(label for label in one.labels() if label.startswith(marked(begins)[:-1]))


def test_an_audit(store: Store, made_up_language: None):
    build_session(store, count=11)
    one = load("audit", "Gro")
    assert left_unmarked(one) == []
    one.page.segmented_control("audit-part").set_value("gallery").run()
    assert left_unmarked(one) == []
    one.page.segmented_control("audit-part").set_value("sample").run()
    assert left_unmarked(one) == []
    one.press(button(one, "Draw "))
    assert left_unmarked(one) == []
    one.page.segmented_control("audit-part").set_value("reading").run()
    assert left_unmarked(one) == []
    one.press(marked("Review: I am not sure"))
    while marked("Pass: nothing is left") in one.labels():
        one.press(marked("Pass: nothing is left"))
    assert left_unmarked(one) == []
    for part in ("result", "charts", "overview"):
        one.page.segmented_control("audit-part").set_value(part).run()
        assert left_unmarked(one) == []


def test_practice(
    store: Store, made_up_language: None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    leftover = TrueAnther(Point(200, 150), stage=AntherStage.GREEN, visible_area_mm2=0.2)
    for number in range(2):
        name = f"photo_{number}.png"
        Image.new("RGB", (300, 400), (60 + number, 120, 90)).save(tmp_path / name)
        truth = PhotoTruth(
            name, 300, 400, (leftover,) * number, problems=(), px_per_mm=20.0,
            axis=(Point(390, 150), Point(10, 150)),
        )  # fmt: skip
        write_truth(truth, (tmp_path / name).with_suffix(".json"))
    monkeypatch.setenv("SPIKECHECK_PRACTICE_FOLDERS", str(tmp_path))
    now = [datetime(2026, 5, 3, 8, tzinfo=UTC)]
    monkeypatch.setattr(resources, "moment", lambda: now[0])
    one = load("practice", "Mira")
    assert left_unmarked(one) == []
    one.press(button(one, "Begin"))
    for _answered in range(2):
        assert left_unmarked(one) == []
        now[0] += timedelta(seconds=60)
        one.page.run()
        one.press(next(label for label in one.labels() if "Review" in label or "Pass" in label))
        assert left_unmarked(one) == []
        onward = [label for label in one.labels() if "Next" in label or "See how" in label]
        one.press(onward[0])
    assert left_unmarked(one) == []
    st.cache_resource.clear()
