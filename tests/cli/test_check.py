"""`check`: the verdict in words or as JSON, the overlays, the record."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import jsonschema
import pytest
from PIL import Image

from spikecheck.pipeline import result_schema
from spikecheck.store import open_store

pytestmark = pytest.mark.usefixtures("named_finder")
CROSS = ("--cross", "C-1", "--spike", 3, "--by", "AB")


def test_review_tells_why_where_and_what_next(run, make_photo):
    done = run("check", make_photo("left.jpg"))
    assert done.code == 1
    assert done.err == ""
    lines = done.out.splitlines()
    assert lines[0] == "REVIEW: do not bag yet, look again"
    assert "Why, most urgent first:" in lines
    assert any(line.startswith("  1. ") and "L3" in line for line in lines)
    assert any("Look at floret L3, x 150, y 780 px" in line for line in lines)
    assert any(line.startswith("Risk: ") and "probability" in line for line in lines)
    assert "Overlay: left.overlay.jpg" in lines
    assert lines[-1] == "Not recorded. To record it: add --by NAME --cross ID --spike N"
    with Image.open("left.overlay.jpg") as overlay:
        assert overlay.format == "JPEG"


def test_pass_ends_with_zero(run, make_photo):
    done = run("check", make_photo("front.jpg"), make_photo("back.jpg"))
    assert done.code == 0
    assert done.out.startswith("PASS: no leftover anther seen")
    assert Path("front.overlay.jpg").exists()
    assert Path("back.overlay.jpg").exists()


def test_a_pass_says_what_it_promises_and_review_does_not(run, make_photo):
    passed = run("check", make_photo("front.jpg"))
    assert "Promise: How many spikes with an anther in sight pass by mistake is not" in passed.out
    assert "Promise" not in run("check", make_photo("left.jpg")).out


def test_several_photos_are_told_apart(run, make_photo):
    done = run("check", make_photo("front.jpg"), make_photo("left.jpg"))
    assert "Look at photo 2 (left.jpg), floret L3" in done.out


def test_json_is_one_object_of_the_contract_and_nothing_else(run, make_photo):
    done = run("check", make_photo("left.jpg"), "--json")
    assert done.code == 1
    assert done.err == ""
    entry = json.loads(done.out)
    jsonschema.Draft202012Validator(result_schema()).validate(entry)
    assert done.out.count("\n") == 1
    assert not list(Path().glob("*.overlay.jpg"))


def test_the_verdict_is_told_even_when_the_overlay_cannot_be_written(run, make_photo):
    Path("taken").touch()
    done = run("check", make_photo("left.jpg"), "--overlay", "taken")
    assert done.code == 2
    assert "REVIEW" in done.out
    assert "taken: the overlay cannot be written" in done.err
    assert done.err.count("\n") == 1


def test_json_writes_overlays_where_asked(run, make_photo):
    run("check", make_photo("left.jpg"), "--json", "--overlay", "drawn/here")
    assert Path("drawn/here/left.overlay.jpg").exists()


def test_a_recorded_check_has_the_photo_the_result_and_the_overlay(run, make_photo, folder):
    run("cross", "add", "C-1", "--female", "L12", "--male", "L31")
    done = run("check", make_photo("left.jpg"), *CROSS)
    assert done.code == 1
    assert f"Recorded as check 1 beside cross C-1, spike 3, by AB, in {folder}/records" in done.out
    with open_store(str(folder / "records")) as store:
        (check,) = store.checks("C-1")
        assert store.photo(check.photos[0]) == Path("left.jpg").read_bytes()
        assert store.overlay(check.photos[0]) == Path("left.overlay.jpg").read_bytes()
        digest = hashlib.sha256(Path("left.jpg").read_bytes()).hexdigest()
        assert json.loads(check.result)["photos"][0]["sha256"] == digest


def test_a_photo_that_another_spike_has_is_told(run, make_photo):
    run("cross", "add", "C-1", "--female", "L12", "--male", "L31")
    photo = make_photo("left.jpg")
    assert run("check", photo, *CROSS).err == ""
    again = run("check", photo, "--cross", "C-1", "--spike", 4, "--by", "AB")
    assert "A photo is recorded with C-1/3 already: make sure which spike it shows." in again.err


def test_json_tells_the_record_on_the_other_stream(run, make_photo):
    run("cross", "add", "C-1", "--female", "L12", "--male", "L31")
    done = run("check", make_photo("left.jpg"), *CROSS, "--json")
    json.loads(done.out)
    assert done.err.startswith("spikecheck: Recorded as check 1 beside cross C-1, spike 3, by AB")


def test_the_store_option_wins_over_the_environment(run, make_photo, folder):
    elsewhere = ("--store", folder / "elsewhere")
    run("cross", "add", "C-1", "--female", "L12", "--male", "L31", *elsewhere)
    assert run("check", make_photo("a.jpg"), *CROSS, *elsewhere).code == 0
    assert "Check 1" in run("cross", "show", "C-1", *elsewhere).out
    assert not (folder / "records").exists()


@pytest.mark.parametrize(
    ("options", "missing"),
    [
        (("--cross", "C-1"), "--spike and --by"),
        (("--cross", "C-1", "--spike", "3"), "--by"),
        (("--spike", "3", "--by", "AB"), "--cross"),
        (("--store", "records"), "--cross and --spike and --by"),
    ],
)
def test_half_of_the_recording_options_is_refused(run, make_photo, options, missing):
    done = run("check", make_photo("a.jpg"), *options)
    assert done.code == 2
    assert f"not given: {missing}. Add {missing}, or leave all of them out" in done.err
    assert done.err.count("\n") == 1
    assert not Path("a.overlay.jpg").exists()


@pytest.mark.usefixtures("named_finder")
def test_without_a_tag_the_verdict_is_told_and_where_it_belongs_is_asked(run, make_photo):
    done = run("check", make_photo("clean.jpg"), "--by", "AB")
    assert done.code == 2
    assert done.out.startswith("PASS")
    assert "Recorded" not in done.out
    assert done.err == (
        "spikecheck: no tag was read in the photos. Name the spike with --cross and --spike\n"
    )


def test_an_unknown_cross_is_told_before_the_work(run, make_photo, monkeypatch):
    def never(*_, **__):
        raise AssertionError("worked for nothing")

    monkeypatch.setattr("spikecheck.pipeline.check_files", never)
    done = run("check", make_photo("a.jpg"), *CROSS)
    assert done.code == 2
    assert "C-1" in done.err
    assert done.out == ""


@pytest.mark.parametrize("content", [None, b"", b"no photo"])
def test_a_file_that_is_no_photo_is_one_line(run, folder, content):
    if content is not None:
        Path("bad.jpg").write_bytes(content)
    done = run("check", "bad.jpg")
    assert done.code == 2
    assert done.err.startswith("spikecheck: bad.jpg: ")
    assert done.err.count("\n") == 1
    assert done.out == ""


def test_a_photo_that_vanishes_is_not_recorded(run, make_photo, monkeypatch):
    run("cross", "add", "C-1", "--female", "L12", "--male", "L31")
    name = make_photo("a.jpg")
    from spikecheck.cli import overlay_files

    whole = overlay_files.write_overlays

    def write_and_lose(*args, **how):
        Path(name).unlink()
        return whole(*args, **how)

    monkeypatch.setattr(overlay_files, "write_overlays", write_and_lose)
    done = run("check", name, *CROSS)
    assert done.code == 2
    assert "a.jpg: can no longer be read (No such file or directory)" in done.err
    assert "No check is recorded" in run("cross", "show", "C-1").out


def test_names_cannot_steer_the_terminal(run, make_photo):
    name = make_photo("left[red]\x1b[2J.jpg")
    done = run("check", name, make_photo("b.jpg"))
    assert "\x1b" not in done.out
    assert "left[red] [2J.jpg" in done.out
