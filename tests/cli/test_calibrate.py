"""`calibrate`: a limit from marked photos, or plainly why there is none."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from spikecheck.assessment.calibration_file import read_calibration
from spikecheck.errors import PhotoError
from spikecheck.pipeline import check_files
from spikecheck.pipeline.check_each import Checked
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import NETWORK_FREE, ModelIdentity, PhotoTruth, Point, TrueAnther
from spikecheck.vocabulary.truth_file import write_truth
from tests.builders import MODEL
from tests.cli.conftest import NamedFinder


@pytest.fixture(autouse=True)
def in_this_process(monkeypatch, named_finder):
    def check_here(paths, *, workers, calibration=None):
        for path in reversed(list(paths)):
            try:
                result, _ = check_files([path], finder=NamedFinder(), thresholds=load_thresholds())
            except PhotoError as error:
                yield Checked(path, error=error)
            else:
                yield Checked(path, result=result)

    monkeypatch.setattr("spikecheck.pipeline.check_each.check_each", check_here)


@pytest.fixture
def mark(make_photo):
    """Make so many finished photos: leftovers that are found with 0.9, missed ones, clean ones."""

    def make(*, found=0, missed=0, clean=0):
        for kind, count in (("left", found), ("missed", missed), ("clean", clean)):
            for number in range(count):
                name = f"{kind}_{number}"
                make_photo(f"mine/{name}.png")
                there = () if kind == "clean" else (TrueAnther(Point(780, 150)),)
                write_truth(PhotoTruth(f"{name}.png", 400, 1000, there), Path(f"mine/{name}.json"))
        return "mine"

    return make


def test_enough_spikes_give_a_limit_and_a_promise(run, mark):
    done = run("calibrate", mark(found=9, clean=3), "--alpha", 0.1, "--out", "own.toml",
               "--name", "glasshouse 2")  # fmt: skip
    assert (done.code, done.err) == (0, "")
    text = " ".join(done.out.split())
    assert "Spikes with a marked leftover: 9; clean: 3" in text
    # 0 of 9 pass, so (0 + 1) / (9 + 1) = 10 % is promised (arXiv 2208.02814)
    assert "at most 10 % 0.9000 0 of 9 3 of 3" in text
    assert "at most 10 % pass, on average, on photos like these" in text
    assert "Written: own.toml (glasshouse 2)" in text
    calibration = read_calibration(Path("own.toml"), model=MODEL)
    assert (calibration.spikes, calibration.passed, calibration.bound) == (9, 0, 0.1)
    assert calibration.name == "glasshouse 2"
    assert calibration.pass_score_most < 0.9


def test_too_few_spikes_say_so_and_what_they_can_promise(run, mark):
    done = run("calibrate", mark(found=9), "--out", "own.toml")
    assert done.code == 1
    text = " ".join(done.out.split())
    assert "Too few for 1 %: at least 99 spikes with a leftover are needed, here are 9." in text
    assert "at most 10 %" in text
    assert "Nothing was written. The shipped calibration stays in force." in text
    assert not Path("own.toml").exists()


def test_leftovers_that_go_unnoticed_cannot_be_promised_away(run, mark):
    done = run("calibrate", mark(found=8, missed=2), "--alpha", 0.1)
    assert done.code == 1
    assert "10 % cannot be promised: too many spikes with a leftover go unnoticed" in done.out


def test_json_is_one_object_and_nothing_else(run, mark):
    folder = mark(found=9, clean=3)
    entry = json.loads(run("calibrate", folder, "--alpha", 0.1, "--out", "own.toml", "--json").out)
    assert entry["written"] == "own.toml"
    assert entry["wanted"]["bound"] == 0.1
    assert entry["wanted"]["clean_spikes_passed"] == 3
    entry = json.loads(run("calibrate", folder, "--json").out)
    assert entry["written"] is None
    assert (entry["wanted"]["outcome"], entry["wanted"]["spikes_needed"]) == ("too few", 99)
    assert [each["alpha"] for each in entry["possible"]] == [0.1, 0.2]


def test_it_lies_where_the_other_commands_look_and_is_in_force_there(run, mark, monkeypatch):
    monkeypatch.setenv("SPIKECHECK_CALIBRATION", str(Path("made/own.toml").absolute()))
    folder = mark(found=9)
    assert run("calibrate", folder, "--alpha", 0.1).code == 0
    assert Path("made/own.toml").is_file()
    assert run("check", "mine/left_0.png").code == 1
    Path("made/own.toml").write_text("schema = 1", encoding="utf-8")
    done = run("check", "mine/left_0.png")
    assert done.code == 2
    assert "add --calibration shipped" in done.err
    assert run("check", "mine/left_0.png", "--calibration", "shipped").code == 1


@pytest.mark.parametrize("command", ["check", "batch", "evaluate"])
def test_the_calibration_in_force_is_named(run, mark, command):
    folder = mark(found=9, clean=1)
    run("calibrate", folder, "--alpha", 0.1, "--out", "own.toml", "--name", "glasshouse 2")
    what = "mine/clean_0.png" if command == "check" else folder
    named = "Calibration: glasshouse 2 (9 spikes with a leftover, pass limit 0.9000)"
    assert named in run(command, what, "--calibration", "own.toml").out
    assert "glasshouse 2" not in run(command, what).out


@pytest.mark.parametrize("command", ["check", "batch", "evaluate"])
def test_a_calibration_of_another_network_is_refused(run, mark, command, monkeypatch):
    folder = mark(found=9)
    run("calibrate", folder, "--alpha", 0.1, "--out", "own.toml")
    monkeypatch.setattr(NamedFinder, "model", ModelIdentity(MODEL.name, "1", "f" * 64))
    what = "mine/left_0.png" if command == "check" else folder
    done = run(command, what, "--calibration", "own.toml")
    assert done.code == 2
    assert "own.toml: was made for made up for tests 0" in done.err
    assert "Run spikecheck calibrate again, or add --calibration shipped" in done.err


def test_other_labels_give_another_digest(run, mark):
    folder = mark(found=9)
    digests = []
    for name in ("one.toml", "two.toml"):
        run("calibrate", folder, "--alpha", 0.1, "--out", name)
        digests.append(read_calibration(Path(name), model=MODEL).sha256)
        write_truth(
            PhotoTruth("left_0.png", 400, 1000, (TrueAnther(Point(1, 1)),)),
            Path("mine/left_0.json"),
        )
    assert digests[0] != digests[1]


def test_a_photo_that_cannot_be_read_is_told_and_the_others_count(run, mark):
    folder = mark(found=9, clean=1)
    Path("mine/clean_0.png").write_bytes(b"no photo")
    done = run("calibrate", folder, "--alpha", 0.1, "--out", "own.toml")
    assert done.code == 2
    assert "clean_0.png" in done.err
    assert Path("own.toml").exists()


@pytest.mark.parametrize("alpha", ["0", "1", "-0.1", "nan"])
def test_an_impossible_share_is_a_usage_error(run, mark, alpha):
    done = run("calibrate", mark(found=1), "--alpha", alpha)
    assert done.code == 2
    assert "lies between 0 and 1" in done.err


def test_without_finished_photos_there_is_nothing_to_calibrate_on(run, make_photo):
    make_photo("mine/a.png")
    done = run("calibrate", "mine")
    assert done.code == 2
    assert "Mark the photos first with spikecheck label" in done.err


def test_the_network_free_method_has_no_limit_to_choose(run, mark, monkeypatch):
    monkeypatch.setattr(NamedFinder, "model", ModelIdentity(NETWORK_FREE, "1", "0" * 64))
    done = run("calibrate", mark(found=1))
    assert done.code == 2
    assert "no network is installed" in done.err
