"""Nothing acknowledged is lost when the program is killed at any instant.

A process is killed with SIGKILL at every step that reaches the disk or the database, one after the
other, and at random instants. SIGKILL leaves what the operating system has already taken; a power
cut is not tried here, against that stand the syncs whose order the steps go through.
"""

from __future__ import annotations

import json
import os
import random
import shutil
import sqlite3
import subprocess
import sys
import time
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self

import pytest

from spikecheck.store import open_store

if TYPE_CHECKING:
    from collections.abc import Iterator

    from spikecheck.store import RecordedCheck

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="forks and kills processes")

_PROGRAM = Path(__file__).with_name("recording_process.py")
_CROSS = "W26-014"
_KILLS = 25
_ROUND, _ROUNDS_MOST = 25, 10


class Recorder:
    """The recording program, ready to take orders."""

    def __init__(self) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-W", "error", str(_PROGRAM)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def send(self, store: Path, **order: Any) -> None:
        assert self._process.stdin is not None
        self._process.stdin.write(
            json.dumps({"first": 0, "by": "Ida", **order, "store": str(store)}) + "\n"
        )
        self._process.stdin.flush()

    def answer(self) -> dict[str, Any]:
        assert self._process.stdout is not None
        answer: dict[str, Any] = json.loads(self._process.stdout.readline())
        assert not answer["failed"]
        return answer

    def record(self, store: Path, **order: Any) -> dict[str, Any]:
        self.send(store, **order)
        return self.answer()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_error: object) -> None:
        self._process.communicate(timeout=30)


@pytest.fixture(scope="module")
def recorder() -> Iterator[Recorder]:
    with Recorder() as started:
        yield started


def _examine(folder: Path, acknowledged: list[dict[str, Any]]) -> tuple[RecordedCheck, ...]:
    """Open the store as anyone would and hold it against what was acknowledged."""
    with open_store(str(folder)) as store:
        if not store.crosses():
            assert not acknowledged
            return ()
        checks = store.checks(_CROSS)
        for check in checks:
            assert len(check.photos) == 1
            assert json.loads(check.result)["photos"][0]["sha256"] == check.photos[0].sha256
            store.photo(check.photos[0])  # raises unless the bytes have their SHA-256
            store.overlay(check.photos[0])
    by_id = {check.id: check for check in checks}
    for entry in acknowledged:
        found = by_id[entry["check"]]
        assert found.spike == entry["spike"]
        assert found.photos[0].sha256 == entry["photo"]
        assert found.photos[0].overlay_sha256 == entry["overlay"]
    database = sqlite3.connect(folder / "spikecheck.sqlite")
    try:
        assert database.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert database.execute("PRAGMA foreign_key_check").fetchall() == []
    finally:
        database.close()
    return checks


def test_killed_at_steps_of_making_a_store(recorder: Recorder, tmp_path: Path):
    """Each revision adds steps, all of one kind: every third, from the first to the last."""
    whole = recorder.record(tmp_path / "whole", checks=0)
    assert not whole["killed"]
    assert whole["steps"] > 20
    for step in {*range(0, whole["steps"], 3), whole["steps"] - 1}:
        folder = tmp_path / f"step {step}"
        assert recorder.record(folder, checks=0, step=step)["killed"]
        again = recorder.record(folder, checks=1)
        assert len(_examine(folder, again["acknowledged"])) == 1


def test_killed_at_every_step_of_recording(recorder: Recorder, tmp_path: Path):
    start = tmp_path / "start"
    before = recorder.record(start, checks=1)["acknowledged"]
    whole = recorder.record(shutil.copytree(start, tmp_path / "whole"), checks=1, first=1)
    assert whole["steps"] > 40
    kept_unacknowledged = []
    for step in range(whole["steps"]):
        folder = shutil.copytree(start, tmp_path / f"step {step}")
        cut_short = recorder.record(folder, checks=1, first=1, step=step)
        assert cut_short["killed"]
        acknowledged = before + cut_short["acknowledged"]
        found = len(_examine(folder, acknowledged))
        kept_unacknowledged.append(found - len(acknowledged))
        again = recorder.record(folder, checks=1, first=1)  # the same photo once more
        assert len(_examine(folder, acknowledged + again["acknowledged"])) == found + 1
    # Only between the commit and its acknowledgement may a check be there that nobody was told of.
    assert set(kept_unacknowledged) == {0, 1}
    assert kept_unacknowledged == sorted(kept_unacknowledged)


def test_killed_at_every_step_of_recording_from_a_draft(recorder: Recorder, tmp_path: Path):
    """Whoever comes back after a kill has the draft or the record, and in the end one record."""
    start = tmp_path / "start"
    before = recorder.record(start, checks=1)["acknowledged"]
    whole_folder = shutil.copytree(start, tmp_path / "whole")
    whole = recorder.record(whole_folder, checks=1, first=1, draft=True)
    assert list((whole_folder / "photos" / "drafts").iterdir()) == []
    opening = recorder.record(shutil.copytree(start, tmp_path / "opened"), checks=0)["steps"]
    assert whole["steps"] - opening > 50
    kept, recorded = [], []
    # Every second: between the end of a call and the beginning of the next the disk is the same.
    for step in range(opening, whole["steps"], 2):
        folder = shutil.copytree(start, tmp_path / f"step {step}")
        cut_short = recorder.record(folder, checks=1, first=1, step=step, draft=True)
        assert cut_short["killed"]
        recorded.append(len(_examine(folder, before + cut_short["acknowledged"])) - len(before))
        kept.append(len(list(folder.glob("photos/drafts/*/draft.json"))))
        again = recorder.record(folder, checks=1, first=1, draft=True)
        found = _examine(folder, before + again["acknowledged"])
        # Told after a kill that it is recorded, a person begins anew only with another photo.
        one_more = cut_short["acknowledged"] or (recorded[-1] and not kept[-1])
        assert len(found) == len(before) + 1 + bool(one_more)
        assert not list(folder.glob("photos/drafts/*/draft.json"))
    taken = kept.index(1)
    assert all(draft or check for draft, check in zip(kept[taken:], recorded[taken:], strict=True))
    assert (1, 1) in zip(kept, recorded, strict=True)  # between the record and the removal
    assert recorded == sorted(recorded)


def test_killed_at_random_instants(recorder: Recorder, tmp_path: Path):
    folder = tmp_path / "records"
    instants = random.Random(20260601)
    acknowledged: list[dict[str, Any]] = []
    for kill in range(_KILLS):
        answer = recorder.record(
            folder,
            checks=10_000,
            first=kill * 10_000,
            after_checks=kill % 4,
            after_s=instants.uniform(0.0, 0.03),
        )
        assert answer["killed"]
        assert len(answer["acknowledged"]) >= kill % 4
        acknowledged += answer["acknowledged"]
        _examine(folder, acknowledged)


def test_leftovers_are_harmless_and_swept_an_hour_later(recorder: Recorder, tmp_path: Path):
    folder = tmp_path / "records"
    incoming = folder / "photos" / "incoming"
    acknowledged = recorder.record(folder, checks=1)["acknowledged"]
    step = 0
    while not list(incoming.iterdir()):
        assert recorder.record(folder, checks=1, first=7, step=step)["killed"]
        step += 1
    assert len(_examine(folder, acknowledged)) == 1
    assert list(incoming.iterdir())
    for left in incoming.iterdir():
        os.utime(left, (time.time() - 3700,) * 2)
    _examine(folder, acknowledged)
    assert not list(incoming.iterdir())


def test_two_processes_recording_at_once_lose_nothing(tmp_path: Path):
    folder = tmp_path / "records"
    acknowledged: list[dict[str, Any]] = []
    with Recorder() as one, Recorder() as two:
        for recorder in (one, two):  # whoever has recorded before has nothing left to load
            acknowledged += recorder.record(folder, checks=1, by="Ann")["acknowledged"]
        for rounds in range(1, _ROUNDS_MOST + 1):
            for recorder, by, first in ((one, "Ida", 0), (two, "Bo", 10)):
                recorder.send(folder, checks=_ROUND, first=first, by=by)
            acknowledged += one.answer()["acknowledged"] + two.answer()["acknowledged"]
            checks = _examine(folder, acknowledged)
            recorders = [check.by for check in checks if check.by != "Ann"]
            assert recorders.count("Ida") == recorders.count("Bo") == rounds * _ROUND
            newest = recorders[: 2 * _ROUND]
            # Once each after the other is nothing: one was done before the other had begun.
            if sum(a != b for a, b in pairwise(newest)) > 1:
                break
        else:
            pytest.fail("the processes never ran at once: the test shows nothing")
    assert len(acknowledged) == len({entry["check"] for entry in acknowledged}) == len(checks)


def test_two_processes_making_a_store_at_once_make_one(tmp_path: Path):
    with Recorder() as one, Recorder() as two:
        for attempt in range(8):
            folder = tmp_path / f"attempt {attempt}"
            for recorder in (one, two):
                recorder.send(folder, checks=1, first=attempt)
            acknowledged = one.answer()["acknowledged"] + two.answer()["acknowledged"]
            assert len(_examine(folder, acknowledged)) == 2
