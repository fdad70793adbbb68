"""`evaluate`: tables with intervals, and all scores as JSON."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from spikecheck.cli.evaluate import in_any_order
from spikecheck.errors import PhotoError
from spikecheck.pipeline import check_files
from spikecheck.pipeline.check_each import Checked
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import PhotoTruth, Point, TrueAnther, Verdict, write_truth
from tests.cli.conftest import NamedFinder


@pytest.fixture(autouse=True)
def in_this_process(monkeypatch, named_finder):
    def check_backwards(paths, *, workers, calibration=None):
        for path in reversed(paths):
            try:
                result, _ = check_files([path], finder=NamedFinder(), thresholds=load_thresholds())
            except PhotoError as error:
                yield Checked(path, error=error)
            else:
                yield Checked(path, result=result)

    monkeypatch.setattr("spikecheck.pipeline.check_each.check_each", check_backwards)


@pytest.fixture
def marked(make_photo):
    """Two clean photos, two with a leftover of which the finder misses one."""
    for name, anthers in (("a", 0), ("b", 0), ("left_c", 1), ("d", 1)):
        make_photo(f"marked/{name}.jpg")
        there = tuple(TrueAnther(Point(780, 150)) for _ in range(anthers))
        verdict = Verdict.REVIEW if anthers else Verdict.PASS
        truth = PhotoTruth(f"{name}.jpg", 400, 1000, there, verdict=verdict)
        write_truth(truth, Path(f"marked/{name}.json"))
    return "marked"


def test_tables_show_counts_and_intervals(run, marked):
    done = run("evaluate", marked)
    assert done.code == 0
    assert done.err == ""
    rows = {" ".join(line.split()) for line in done.out.splitlines()}
    assert "pass 2 0" in rows
    assert "review 1 1" in rows
    assert any(
        row.startswith("verdict: spikes with a leftover that pass 1/2 50.0%") for row in rows
    )
    # Wilson's interval of 1 of 2 by hand, z = 1.96:
    # (0.5 + z²/4 ± z/√2·√(0.25 + z²/8)) / (1 + z²/2)
    assert any(row.startswith("anthers: recall 1/2 50.0% 9.5% to 90.5%") for row in rows)
    assert "4 of 4 photos have truth and could be read." in rows


def test_mistakes_and_marked_points_are_told_by_file(run, marked):
    lines = {" ".join(line.split()) for line in run("evaluate", marked).out.splitlines()}
    assert "d.jpg passes with an anther, marked by hand" in lines
    assert "d.jpg 0/1 pass one_face_only" in lines
    assert "left_c.jpg 1/1 review anther_left" in lines


def test_families_are_shown_apart(run, marked):
    for name, light in (("a", "led"), ("b", "sun")):
        truth = PhotoTruth(
            f"{name}.jpg", 400, 1000, (), verdict=Verdict.PASS, families={"light": light}
        )
        write_truth(truth, Path(f"marked/{name}.json"))
    done = run("evaluate", marked, "--by", "light")
    assert done.code == 0
    lines = {" ".join(line.split()) for line in done.out.splitlines()}
    assert "led 1 1/1 100.0% 0.000" in lines


def test_a_kind_of_family_that_is_not_there_is_one_line(run, marked):
    done = run("evaluate", marked, "--by", "light")
    assert done.code == 2
    assert "no image names its light. No truth file here names families" in done.err


def test_a_narrow_terminal_gets_lines(run, marked, monkeypatch):
    monkeypatch.setenv("COLUMNS", "40")
    lines = run("evaluate", marked).out.splitlines()
    assert lines[0] == "Verdicts, photos"
    assert "review: told pass 1, told review 1" in lines
    assert "anthers: recall: count 1/2, value 50.0%, 95 % interval 9.5% to 90.5%" in lines


def test_photos_without_truth_give_no_empty_table(run, make_photo):
    make_photo("plain/a.jpg")
    done = run("evaluate", "plain")
    assert done.code == 0
    assert done.out.splitlines()[-1].startswith("No photo has a truth file")
    assert "Scores" not in done.out


def test_scores_go_to_a_file(run, marked):
    run("evaluate", marked, "--json", "scores.json")
    entry = json.loads(Path("scores.json").read_text())
    assert [photo["file"] for photo in entry["photos"]] == ["a.jpg", "b.jpg", "d.jpg", "left_c.jpg"]
    assert entry["verdict_table"][0] == {"truth": "pass", "pass": 2, "review": 0}


def test_a_file_that_cannot_be_written_is_told(run, marked):
    done = run("evaluate", marked, "--json", "none/scores.json")
    assert done.code == 2
    assert "none/scores.json: the scores cannot be written (No such file or directory)" in done.err


def test_an_unreadable_photo_is_told_and_the_others_count(run, marked):
    Path("marked/bad.jpg").write_bytes(b"no photo")
    done = run("evaluate", marked)
    assert done.code == 2
    assert done.err.startswith("spikecheck: marked/bad.jpg: ")
    assert "4 of 5 photos have truth and could be read." in done.out


def test_a_truth_file_not_understood_is_one_line(run, marked):
    Path("marked/a.json").write_text("{}")
    done = run("evaluate", marked)
    assert (done.code, done.out) == (2, "")
    assert "a.json: lacks the entry" in done.err


def test_results_are_found_whatever_the_order():
    paths = [Path("a"), Path("b"), Path("c")]
    failure = PhotoError("is no photo", where="b")
    checks = iter([Checked(paths[2], result="C"), Checked(paths[1], error=failure),
                   Checked(paths[0], result="A")])  # fmt: skip
    result_of = in_any_order(checks)
    assert result_of(paths[0]) == "A"
    with pytest.raises(PhotoError, match="b: is no photo"):
        result_of(paths[1])
    assert result_of(paths[2]) == "C"
