"""`batch`: lines, summary and exit codes, with checks done in this process."""

from __future__ import annotations

from pathlib import Path

import pytest

from spikecheck.errors import PhotoError
from spikecheck.pipeline import check_files
from spikecheck.pipeline.check_each import Checked
from spikecheck.thresholds import load_thresholds
from tests.cli.conftest import NamedFinder


@pytest.fixture(autouse=True)
def in_this_process(monkeypatch, named_finder):
    def check_here(paths, *, workers, calibration=None):
        for path in paths:
            try:
                result, _ = check_files([path], finder=NamedFinder(), thresholds=load_thresholds())
            except PhotoError as error:
                yield Checked(path, error=error)
            else:
                yield Checked(path, result=result)

    monkeypatch.setattr("spikecheck.pipeline.batch.check_each", check_here)


def test_all_pass_ends_with_zero(run, make_photo):
    make_photo("photos/a.jpg")
    done = run("batch", "photos")
    assert done.code == 0
    assert done.err == ""
    first, last = done.out.splitlines()
    assert first.startswith("PASS    a.jpg")
    assert last == "1 photo: 1 pass, 0 review"


def test_a_review_ends_with_one_and_says_why(run, make_photo):
    make_photo("photos/a.jpg")
    make_photo("photos/left.jpg")
    done = run("batch", "photos")
    assert done.code == 1
    assert any(
        line.startswith("REVIEW  left.jpg  ") and "L3" in line for line in done.out.splitlines()
    )
    assert done.out.splitlines()[-1] == "2 photos: 1 pass, 1 review"


def test_an_unreadable_file_is_one_line_and_the_others_go_on(run, make_photo):
    make_photo("photos/left.jpg")
    Path("photos/bad.jpg").write_bytes(b"no photo")
    Path("photos/empty.png").write_bytes(b"")
    done = run("batch", "photos")
    assert done.code == 2
    assert [line.split(": ")[1] for line in done.err.splitlines()] == [
        "photos/bad.jpg", "photos/empty.png",
    ]  # fmt: skip
    assert done.out.splitlines()[-1] == "3 photos: 0 pass, 1 review, 2 unreadable"


def test_with_a_file_of_results_only_the_summary_is_told(run, make_photo):
    make_photo("photos/a.jpg")
    done = run("batch", "photos", "--jsonl", "r.jsonl")
    assert done.out == "1 photo: 1 pass, 0 review\nResults: r.jsonl\n"
    again = run("batch", "photos", "--jsonl", "r.jsonl")
    assert again.code == 0
    assert again.out.startswith("1 photo: 1 pass, 0 review, 1 of them checked before\n")
    assert len(Path("r.jsonl").read_text().splitlines()) == 1


def test_the_exit_code_counts_photos_checked_before(run, make_photo):
    make_photo("photos/left.jpg")
    run("batch", "photos", "--jsonl", "r.jsonl")
    assert run("batch", "photos", "--jsonl", "r.jsonl").code == 1


@pytest.mark.parametrize(
    ("args", "message"),
    [
        (("none",), "none: no such folder. Name a folder of photos"),
        ((".",), ".: holds no photo. Name another, or add --recursive"),
    ],
)
def test_a_wrong_folder_is_one_line(run, folder, args, message):
    done = run("batch", *args)
    assert (done.code, done.err, done.out) == (2, f"spikecheck: {message}\n", "")


def test_subfolders_on_request(run, make_photo):
    Path("photos").mkdir()
    make_photo("photos/deep/a.jpg")
    assert run("batch", "photos").code == 2
    assert "PASS    deep/a.jpg" in run("batch", "photos", "--recursive").out
