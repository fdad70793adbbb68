"""The file of results: whole lines whatever happens, and nothing of anybody else's touched."""

from __future__ import annotations

import json
import resource
import signal
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from spikecheck.errors import OutputError
from spikecheck.pipeline import result_entry
from spikecheck.pipeline.batch_journal import Journal, Means
from spikecheck.vocabulary import (
    CheckResult,
    ModelIdentity,
    PhotoResult,
    Reason,
    Risk,
    Verdict,
)
from tests.builders import MODEL, findings, photo, quality

MEANS = Means("0.1.0", MODEL, "f" * 64)


def result(name="a.jpg", verdict=Verdict.PASS):
    one = photo(name)
    seen = PhotoResult(name, one.sha256, 400, 1000, None, quality(), findings(), ())
    reasons = () if verdict is Verdict.PASS else (Reason("anther_left", "Look."),)
    return CheckResult(verdict, reasons, Risk(0.1, None, False), (seen,), {}, "0.1.0")


def write(path, *results):
    with Journal(path) as journal:
        for one in results:
            journal.add(result_entry(one), thresholds_sha256="f" * 64)


def test_each_result_is_a_line_at_once(tmp_path):
    path = tmp_path / "r.jsonl"
    with Journal(path) as journal:
        for number in range(3):
            journal.add(result_entry(result(f"{number}.jpg")), thresholds_sha256="f" * 64)
            lines = path.read_text().splitlines()
            assert [json.loads(line)["photos"][0]["file"] for line in lines] == [
                f"{n}.jpg" for n in range(number + 1)
            ]
    assert json.loads(lines[0])["thresholds"] == {"sha256": "f" * 64}


def test_what_was_written_is_known_next_time(tmp_path):
    path = tmp_path / "r.jsonl"
    write(path, result("a.jpg"), result("b.jpg", Verdict.REVIEW))
    with Journal(path) as journal:
        assert journal.has("a.jpg")
        assert not journal.has("c.jpg")
        assert journal.verdict("a.jpg", photo("a.jpg").sha256, MEANS) is Verdict.PASS
        assert journal.verdict("b.jpg", photo("b.jpg").sha256, MEANS) is Verdict.REVIEW


@pytest.mark.parametrize(
    "means",
    [
        replace(MEANS, software_version="0.2.0"),
        replace(MEANS, model=ModelIdentity(MODEL.name, MODEL.version, "1" * 64)),
        replace(MEANS, model=ModelIdentity(MODEL.name, "9", MODEL.sha256)),
        replace(MEANS, thresholds_sha256="0" * 64),
    ],
)
def test_results_of_other_means_do_not_count(tmp_path, means):
    path = tmp_path / "r.jsonl"
    write(path, result())
    with Journal(path) as journal:
        assert journal.verdict("a.jpg", photo("a.jpg").sha256, means) is None


def test_a_photo_that_changed_does_not_count(tmp_path):
    path = tmp_path / "r.jsonl"
    write(path, result())
    with Journal(path) as journal:
        assert journal.verdict("a.jpg", "0" * 64, MEANS) is None


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(st.data())
def test_a_torn_last_line_is_taken_off(tmp_path, data):
    path = tmp_path / "r.jsonl"
    path.unlink(missing_ok=True)
    write(path, result("a.jpg"), result("b.jpg"))
    whole = path.read_bytes()
    first = whole.index(b"\n") + 1
    cut = data.draw(st.integers(0, len(whole)))
    path.write_bytes(whole[:cut])
    with Journal(path):
        kept = path.read_bytes()
    assert kept == (whole if cut == len(whole) else whole[:first] if cut >= first else b"")


@pytest.mark.parametrize(
    ("content", "line"),
    [
        (b"my notes on the crosses\n", 1),
        (b"my notes on the crosses", 1),
        (b'{"schema": "another/1"}\n', 1),
        (b"\xff\xd8\xff\xe0\n", 1),
        (b"[]\n", 1),
    ],
)
def test_a_file_of_something_else_is_refused_and_left_alone(tmp_path, content, line):
    path = tmp_path / "notes.txt"
    path.write_bytes(content)
    with pytest.raises(OutputError, match=f"notes.txt: line {line} is no result of a batch"):
        Journal(path)
    assert path.read_bytes() == content


def test_a_foreign_line_after_results_is_told_by_its_number(tmp_path):
    path = tmp_path / "r.jsonl"
    write(path, result())
    path.write_bytes(path.read_bytes() + b"remark\n")
    with pytest.raises(OutputError, match="line 2 is no result"):
        Journal(path)


def test_a_second_batch_on_the_same_file_is_refused(tmp_path):
    path = tmp_path / "r.jsonl"
    with Journal(path), pytest.raises(OutputError, match="another batch is writing"):
        Journal(path)
    write(path, result())


def test_a_folder_and_a_missing_folder_are_refused(tmp_path):
    with pytest.raises(OutputError, match="is no ordinary file"):
        Journal(tmp_path)
    with pytest.raises(OutputError, match=r"cannot be written \(No such file"):
        Journal(tmp_path / "none" / "r.jsonl")


def test_a_full_disk_leaves_whole_lines(tmp_path):
    path = tmp_path / "r.jsonl"
    entry = result_entry(result())
    write(path, result())
    size = path.stat().st_size
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    with Journal(path) as journal:
        resource.setrlimit(resource.RLIMIT_FSIZE, (size + 100, before[1]))
        try:
            with pytest.raises(OutputError, match=r"cannot be written \(File too large"):
                journal.add(entry, thresholds_sha256="f" * 64)
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, before)
            signal.signal(signal.SIGXFSZ, handler)
        assert path.stat().st_size == size
        journal.add(entry, thresholds_sha256="f" * 64)
    assert len(path.read_text().splitlines()) == 2
