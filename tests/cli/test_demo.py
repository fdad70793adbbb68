"""`demo`: which of the bundled photos are shown, and how."""

from __future__ import annotations

from pathlib import Path

import pytest

from spikecheck.vocabulary import (
    AntherStage,
    PhotoTruth,
    Point,
    QualityProblem,
    TrueAnther,
    Verdict,
    write_truth,
)

pytestmark = pytest.mark.usefixtures("named_finder")


@pytest.fixture
def bundled(make_photo, folder, monkeypatch):
    """A demo set of stand-ins, with the manifest that a drawn set has."""
    monkeypatch.setattr("spikecheck.bundled.bundled_folder", lambda _: folder / "set")
    (folder / "set").mkdir()

    def add(name, *floret_ids, problems=()):
        make_photo(f"set/demo/{name}.jpg")
        anthers = tuple(
            TrueAnther(Point(780, 150), floret=floret, stage=AntherStage.YELLOW)
            for floret in floret_ids
        )
        verdict = Verdict.REVIEW if anthers else Verdict.PASS
        truth = PhotoTruth(
            f"{name}.jpg", 400, 1000, anthers, verdict=verdict, problems=tuple(problems)
        )
        write_truth(truth, folder / "set" / "demo" / f"{name}.json")
        (folder / "set" / "demo" / "manifest.json").write_text("{}")

    return add


def test_a_clean_and_the_plainest_leftover_photo_are_checked_and_drawn(run, bundled):
    bundled("dark_1", "R1", problems=[QualityProblem.DARK])
    for name, florets in (("left_0", ["R1", "R2", "R3"]), ("left_1", ["L3", None]),
                          ("clean_1", []), ("left_2", ["R1", "L2"])):  # fmt: skip
        bundled(name, *florets)
    done = run("demo")
    assert (done.code, done.err) == (0, "")
    told = [
        line for line in done.out.splitlines() if line.startswith(("In truth", "PASS", "REVIEW"))
    ]
    assert told == [
        "In truth it shows no anther left.",
        "PASS: no leftover anther seen",
        "In truth it shows 2 anthers left: yellow in floret L3, yellow outside the florets.",
        "REVIEW: do not bag yet, look again",
    ]
    assert sorted(path.name for path in Path("spikecheck_demo").iterdir()) == [
        "clean_1.overlay.jpg", "left_1.overlay.jpg",
    ]  # fmt: skip
    assert "Overlay: spikecheck_demo/left_1.overlay.jpg" in done.out


def test_a_set_without_both_kinds_is_an_incomplete_installation(run, bundled):
    bundled("clean_1")
    done = run("demo")
    assert done.code == 2
    assert done.err == (
        "spikecheck: this installation lacks its demo photos. Install spikecheck again\n"
    )


def test_the_pictures_go_where_they_are_wanted(run, bundled):
    bundled("clean_1")
    bundled("left_1", "L3")
    assert run("demo", "--overlay", "seen").code == 0
    assert len(list(Path("seen").iterdir())) == 2
    assert not Path("spikecheck_demo").exists()
