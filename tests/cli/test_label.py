"""`label`: serves the page for one folder, tells how far it is, copies what is finished."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from spikecheck.cli import serving
from spikecheck.vocabulary import AntherStage, PhotoTruth, Point, TrueAnther, write_truth
from tests.cli.test_app import free_port


@pytest.fixture
def started(monkeypatch):
    """Remember what would be served instead of serving it."""
    calls = []
    monkeypatch.setattr(serving, "_serve", lambda *args: calls.append(args) or 0)
    return calls


@pytest.fixture
def marked(make_photo):
    """A finished photo with two leftovers, a finished clean one, one begun, one not marked."""
    for name, count, complete in (("a", 2, True), ("b", 0, True), ("c", 1, False)):
        make_photo(f"mine/{name}.jpg")
        there = tuple(TrueAnther(Point(9, 9), stage=AntherStage.GREEN) for _ in range(count))
        truth = PhotoTruth(f"{name}.jpg", 400, 1000, there, complete=complete)
        write_truth(truth, Path(f"mine/{name}.json"))
    make_photo("mine/d.jpg")
    return "mine"


def test_the_page_is_served_for_this_folder_and_no_other(run, started, marked):
    port = free_port()
    done = run("label", marked, "--port", port)
    assert done.code == 0
    assert f"Open http://127.0.0.1:{port}" in done.out
    ((_, environment),) = started
    assert environment["SPIKECHECK_LABEL_FOLDER"] == str(Path(marked).resolve())


def test_status_tells_how_far_it_is_and_serves_nothing(run, started, marked):
    done = run("label", marked, "--status")
    assert done.code == 0
    assert done.out.splitlines() == [
        "2 of 4 photos are finished, 1 begun",
        "Spikes with a leftover: 1; clean: 1",
        "Leftover anthers: green 2, yellow 0, dehisced 0",
        "To promise that at most 1 % of them pass: 98 more spikes with a leftover needed",
        "To promise that at most 5 % of them pass: 18 more spikes with a leftover needed",
    ]
    assert started == []


def test_a_file_that_is_no_truth_is_named(run, marked):
    Path("mine/d.json").write_text("{}", encoding="utf-8")
    done = run("label", marked, "--status")
    assert done.code == 0
    assert "mine/d.json: lacks the entry" in done.err


def test_finished_photos_are_exported(run, started, marked):
    done = run("label", marked, "--export", "out")
    assert done.code == 0
    assert done.out == "2 finished photos with truth files: out\n"
    assert sorted(path.name for path in Path("out").iterdir()) == [
        "a.jpg", "a.json", "b.jpg", "b.json",
    ]  # fmt: skip
    assert len(json.loads(Path("out/a.json").read_text("utf-8"))["anthers"]) == 2
    assert started == []


@pytest.mark.parametrize("folder_name", ["nowhere", "empty"])
def test_a_folder_without_photos_is_one_line(run, started, folder, folder_name):
    (folder / "empty").mkdir()
    done = run("label", folder_name)
    assert done.code == 2
    assert done.err.startswith(f"spikecheck: {folder_name}: ")
    assert len(done.err.splitlines()) == 1
    assert started == []
