"""Whole paths through the installed command, each process as a user would start it."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from types import SimpleNamespace

import jsonschema
import pytest
from PIL import Image

from spikecheck.pipeline import result_schema
from spikecheck.vocabulary import SCHEMA

COMMAND = Path(sys.executable).with_name("spikecheck")
VALIDATOR = jsonschema.Draft202012Validator(result_schema())


@pytest.fixture(scope="module")
def drawn(tmp_path_factory) -> Path:
    """Photos of all kinds that matter here, drawn once."""
    folder = tmp_path_factory.mktemp("drawn")
    kinds = [f"--kind={kind}" for kind in ("clean", "leftover", "no_spike", "dark")]
    run("synth", folder, *kinds, "--count", 4, "--px-per-mm", 20, cwd=folder.parent)
    return folder


def run(*args, cwd, **environment):
    done = subprocess.run(
        [COMMAND, *map(str, args)],
        check=False,
        cwd=cwd,
        capture_output=True,
        text=True,
        timeout=300,
        env={**os.environ, "SPIKECHECK_STORE": str(Path(cwd) / "records"), **environment},
    )
    return SimpleNamespace(code=done.returncode, out=done.stdout, err=done.stderr)


def entries(path):
    return [json.loads(line) for line in path.read_text().splitlines()]


def test_the_demo_tells_the_clean_spike_from_the_other_and_draws_both(tmp_path):
    done = run("demo", cwd=tmp_path)
    assert (done.code, done.err) == (0, "")
    verdicts = [line for line in done.out.splitlines() if line.startswith(("PASS", "REVIEW"))]
    assert [verdict.split(":")[0] for verdict in verdicts] == ["PASS", "REVIEW"]
    overlays = [line.removeprefix("Overlay: ") for line in done.out.splitlines() if
                line.startswith("Overlay: ")]  # fmt: skip
    assert len(overlays) == 2
    for overlay in overlays:
        with Image.open(tmp_path / overlay) as picture:
            assert max(picture.size) <= 2400
    assert [path.name for path in tmp_path.iterdir()] == ["spikecheck_demo"]


def test_a_leftover_is_never_passed_and_the_answer_keeps_the_contract(drawn, tmp_path):
    (leftover,) = drawn.glob("leftover*.jpg")
    done = run("check", leftover, "--json", cwd=tmp_path)
    assert done.code == 1
    entry = json.loads(done.out)
    VALIDATOR.validate(entry)
    assert entry["schema"] == SCHEMA
    assert entry["verdict"] == "review"
    assert entry["reasons"]


def test_a_picture_without_a_spike_says_so(drawn, tmp_path):
    (empty,) = drawn.glob("no_spike*.jpg")
    done = run("check", empty, cwd=tmp_path)
    assert done.code == 1
    assert "REVIEW" in done.out
    assert "No spike was recognised" in done.out


def test_a_check_is_recorded_and_shown_later(drawn, tmp_path):
    (leftover,) = drawn.glob("leftover*.jpg")
    assert run("cross", "add", "C-1", "--female", "L12", "--male", "L31", cwd=tmp_path).code == 0
    done = run(
        "check", leftover, "--cross", "C-1", "--spike", 2, "--by", "AB", "--overlay", "drawn",
        cwd=tmp_path,
    )  # fmt: skip
    assert "Recorded as check 1 beside cross C-1, spike 2, by AB" in done.out
    shown = run("cross", "show", "C-1", cwd=tmp_path).out
    assert f"by AB ({leftover.name})" in shown
    assert (tmp_path / "drawn" / f"{leftover.stem}.overlay.jpg").is_file()


def test_a_batch_writes_one_valid_object_a_photo_and_tells_the_unreadable(drawn, tmp_path):
    photos = tmp_path / "photos"
    photos.mkdir()
    for photo in drawn.glob("*.jpg"):
        (photos / photo.name).write_bytes(photo.read_bytes())
    (photos / "cut.jpg").write_bytes(next(drawn.glob("*.jpg")).read_bytes()[:5000])
    done = run("batch", "photos", "--jsonl", "r.jsonl", cwd=tmp_path)
    assert done.code == 2
    assert done.err.startswith("spikecheck: photos/cut.jpg: ")
    assert done.err.count("\n") == 1
    results = entries(tmp_path / "r.jsonl")
    assert len(results) == 4
    for entry in results:
        VALIDATOR.validate(entry)
    again = run("batch", "photos", "--jsonl", "r.jsonl", cwd=tmp_path)
    assert "4 of them checked before" in again.out
    assert len(entries(tmp_path / "r.jsonl")) == 4


@pytest.fixture
def many(drawn, tmp_path) -> Path:
    """Twelve photos of different bytes."""
    photos = tmp_path / "photos"
    photos.mkdir()
    content = next(drawn.glob("clean*.jpg")).read_bytes()
    for number in range(12):
        (photos / f"{number:02}.jpg").write_bytes(content + bytes([number]))
    return photos


def started_batch(many):
    """A batch that has written its first result and goes on."""
    path = many.parent / "r.jsonl"
    batch = subprocess.Popen(
        [COMMAND, "batch", "photos", "--jsonl", "r.jsonl", "--workers", "1"],
        cwd=many.parent, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        start_new_session=True,
    )  # fmt: skip
    deadline = time.monotonic() + 120
    while time.monotonic() < deadline and not (path.exists() and path.stat().st_size):
        time.sleep(0.01)
    return batch, path


def test_ctrl_c_leaves_whole_results_and_the_next_run_goes_on(many):
    batch, path = started_batch(many)
    os.killpg(batch.pid, signal.SIGINT)
    _, errors = batch.communicate(timeout=60)
    assert (batch.returncode, errors) == (130, "spikecheck: stopped\n")
    written = entries(path)
    assert 1 <= len(written) < 12
    done = run("batch", "photos", "--jsonl", "r.jsonl", cwd=many.parent)
    assert f"{len(written)} of them checked before" in done.out
    files = [entry["photos"][0]["file"] for entry in entries(path)]
    assert sorted(files) == sorted(photo.name for photo in many.iterdir())


def test_killed_in_the_middle_of_a_line_the_next_run_goes_on(many):
    batch, path = started_batch(many)
    batch.kill()
    batch.communicate(timeout=60)
    whole = [line for line in path.read_bytes().splitlines(keepends=True) if line.endswith(b"\n")]
    path.write_bytes(b"".join(whole) + whole[0][:100])
    done = run("batch", "photos", "--jsonl", "r.jsonl", cwd=many.parent)
    assert f"{len(whole)} of them checked before" in done.out
    files = [entry["photos"][0]["file"] for entry in entries(path)]
    assert sorted(files) == sorted(photo.name for photo in many.iterdir())


def test_a_second_batch_on_the_same_file_is_refused(many):
    batch, path = started_batch(many)
    os.killpg(batch.pid, signal.SIGSTOP)  # it may be quicker than the second begins
    second = run("batch", "photos", "--jsonl", "r.jsonl", cwd=many.parent)
    os.killpg(batch.pid, signal.SIGINT)
    os.killpg(batch.pid, signal.SIGCONT)
    batch.communicate(timeout=60)
    assert second.code == 2
    assert second.err == (
        "spikecheck: r.jsonl: another batch is writing to this file. "
        "Wait for it to end, or give another name after --jsonl\n"
    )
    assert entries(path)


def test_evaluate_compares_with_the_truth_of_synth(drawn, tmp_path):
    done = run("evaluate", drawn, "--json", "scores.json", cwd=tmp_path)
    assert (done.code, done.err) == (0, "")
    assert "4 of 4 photos have truth and could be read." in done.out
    scores = json.loads((tmp_path / "scores.json").read_text())["scores"]
    (leftovers,) = [row for row in scores if row["name"] == "spikes with a leftover that pass"]
    assert leftovers["events"] == 0
