"""A batch over a folder: which photos, which counts, what is taken over."""

from __future__ import annotations

import json
import os
import signal
from dataclasses import replace

import pytest

from spikecheck.errors import PhotoError, UsageError
from spikecheck.pipeline import batch as room
from spikecheck.pipeline.batch import BatchStep, BatchSummary, check_folder
from spikecheck.pipeline.batch_folder import list_photos
from spikecheck.pipeline.batch_journal import Means
from spikecheck.pipeline.check_each import Checked
from spikecheck.pipeline.interrupts import interrupts_held
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import Calibration, CheckResult, PhotoResult, Reason, Risk, Verdict
from tests.builders import MODEL, findings, quality

ASKED: list[str] = []


def fake_check(paths, *, workers, calibration=None):
    """Answer by file name, reading the file's bytes, in this process."""
    import hashlib

    for path in paths:
        ASKED.append(path.name)
        if "broken" in path.name:
            yield Checked(path, error=PhotoError("is no photo", where=str(path)))
            continue
        verdict = Verdict.REVIEW if "left" in path.name else Verdict.PASS
        reasons = (Reason("anther_left", "Look."),) if verdict is Verdict.REVIEW else ()
        sha256 = hashlib.sha256(path.read_bytes()).hexdigest()
        seen = PhotoResult(str(path), sha256, 9, 9, None, quality(), findings(), ())
        yield Checked(path, CheckResult(verdict, reasons, Risk(0.1, None, False), (seen,), {}, "1"))


@pytest.fixture(autouse=True)
def in_this_process(monkeypatch):
    ASKED.clear()
    monkeypatch.setattr(room, "check_each", fake_check)
    means = Means("1", MODEL, load_thresholds().sha256)
    monkeypatch.setattr(room, "_means", lambda: means)


@pytest.fixture
def folder(tmp_path):
    photos = tmp_path / "photos"
    (photos / "deep").mkdir(parents=True)
    for name in ("clean.jpg", "left.PNG", "broken.heic", "notes.txt", "clean.overlay.jpg",
                 ".hidden.jpg", "deep/clean.jpg"):  # fmt: skip
        (photos / name).write_bytes(name.encode())
    return photos


def run(folder, **options):
    steps: list[BatchStep] = []
    summary = check_folder(folder, progress=steps.append, workers=1, **options)
    return summary, steps


def test_photos_are_listed_by_name_without_overlays_and_hidden_files(folder):
    def names(**how):
        return [path.relative_to(folder).as_posix() for path in list_photos(folder, **how)]

    assert names(recursive=False) == ["broken.heic", "clean.jpg", "left.PNG"]
    assert names(recursive=True) == ["broken.heic", "clean.jpg", "deep/clean.jpg", "left.PNG"]


def test_links_to_folders_are_not_followed(folder):
    (folder / "deep" / "round").symlink_to(folder, target_is_directory=True)
    assert len(list_photos(folder, recursive=True)) == 4


def test_folders_without_photos_are_refused(tmp_path):
    with pytest.raises(UsageError, match=r"holds no photo\. Name another, or add --recursive"):
        list_photos(tmp_path, recursive=False)
    with pytest.raises(UsageError, match=r"holds no photo\. Name a folder that does"):
        list_photos(tmp_path, recursive=True)
    (tmp_path / "a.jpg").write_bytes(b"")
    with pytest.raises(UsageError, match=r"a\.jpg: is a file, not a folder\. Check one photo"):
        check_folder(tmp_path / "a.jpg", progress=lambda _: None)
    with pytest.raises(UsageError, match="none: no such folder"):
        list_photos(tmp_path / "none", recursive=False)


def test_a_folder_that_cannot_be_read_is_told(tmp_path, monkeypatch):
    def refuse(self):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(type(tmp_path), "iterdir", refuse)
    with pytest.raises(UsageError, match=r"the folder cannot be read \(Permission denied\)"):
        list_photos(tmp_path, recursive=False)


def test_every_photo_is_told_once_and_counted(folder):
    summary, steps = run(folder)
    assert summary == BatchSummary(passed=1, review=1, unreadable=1, checked_before=0)
    assert [(step.done, step.total) for step in steps] == [(1, 3), (2, 3), (3, 3)]
    assert {step.file: step.verdict for step in steps} == {
        "broken.heic": None, "clean.jpg": Verdict.PASS, "left.PNG": Verdict.REVIEW,
    }  # fmt: skip
    assert [str(step.error) for step in steps if step.error] == [
        f"{folder / 'broken.heic'}: is no photo"
    ]


def test_results_go_to_the_file_under_names_within_the_folder(folder, tmp_path):
    path = tmp_path / "r.jsonl"
    run(folder, jsonl=path, recursive=True)
    entries = [json.loads(line) for line in path.read_text().splitlines()]
    assert [entry["photos"][0]["file"] for entry in entries] == [
        "clean.jpg", "deep/clean.jpg", "left.PNG",
    ]  # fmt: skip
    assert {entry["thresholds"]["sha256"] for entry in entries} == {load_thresholds().sha256}


def test_a_second_run_checks_only_what_has_no_result(folder, tmp_path):
    path = tmp_path / "r.jsonl"
    run(folder, jsonl=path)
    written = path.read_bytes()
    ASKED.clear()
    summary, steps = run(folder, jsonl=path)
    assert ASKED == ["broken.heic"]
    assert summary == BatchSummary(passed=1, review=1, unreadable=1, checked_before=2)
    assert sorted(step.done for step in steps) == [1, 2, 3]
    assert path.read_bytes() == written


def test_a_changed_photo_is_checked_again(folder, tmp_path):
    path = tmp_path / "r.jsonl"
    run(folder, jsonl=path)
    (folder / "clean.jpg").write_bytes(b"another photo")
    ASKED.clear()
    run(folder, jsonl=path)
    assert "clean.jpg" in ASKED
    assert "left.PNG" not in ASKED


def test_new_means_check_everything_again(folder, tmp_path, monkeypatch):
    path = tmp_path / "r.jsonl"
    run(folder, jsonl=path)
    newer = Means("2", MODEL, load_thresholds().sha256)
    monkeypatch.setattr(room, "_means", lambda: newer)
    ASKED.clear()
    summary, _ = run(folder, jsonl=path)
    assert len(ASKED) == 3
    assert summary.checked_before == 0


def test_a_photo_gone_since_the_last_run_is_left_to_the_check(folder, tmp_path, monkeypatch):
    path = tmp_path / "r.jsonl"
    run(folder, jsonl=path)
    listed = list_photos(folder, recursive=False)
    (folder / "clean.jpg").unlink()
    monkeypatch.setattr(room, "list_photos", lambda *_, **__: listed)
    with pytest.raises(FileNotFoundError):  # the stand-in reads it and fails; the real one tells
        run(folder, jsonl=path)


def test_no_worker_is_refused(folder):
    with pytest.raises(UsageError, match="at least one worker is needed, got 0"):
        check_folder(folder, workers=0, progress=lambda _: None)


def test_ctrl_c_waits_until_the_step_is_over():
    done = []
    with pytest.raises(KeyboardInterrupt):  # noqa: PT012
        with interrupts_held():
            os.kill(os.getpid(), signal.SIGINT)
            done.append("step")
        done.append("never")
    assert done == ["step"]


def test_a_new_calibration_checks_everything_again(folder, tmp_path):
    jsonl = tmp_path / "results.jsonl"
    mine = Calibration("own", 0.3, 99, 0, 0.01, 0.01, "0" * 64)
    laxer = replace(mine, pass_score_most=0.4)
    before = [
        run(folder, jsonl=jsonl, calibration=calibration)[0].checked_before
        for calibration in (None, mine, mine, laxer, None)
    ]
    # Two of the three photos get a verdict, and only the same calibration takes them over.
    assert before == [0, 0, 2, 0, 2]
