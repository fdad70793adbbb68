"""A program that records checks until something kills it; run by the tests, never imported.

It reads one order a line (JSON) from its input and answers with one line. Every order is carried
out by a forked process, so that killing is cheap and nothing of a killed process lives on.

An order has ``store`` (folder), ``by`` (who records), ``checks`` (how many to record, 0 only opens
the store), ``first`` (number of the first photo; the same number makes the same photo), and may
have ``step`` (the step at which the process kills itself with SIGKILL) or ``after_s`` (it is killed
from outside so long after ``after_checks`` acknowledgements). With ``draft`` each photo is first
kept as a draft, unless one is there to go on with, and recorded from it. A step is the instant
before or after one call that reaches the disk or the database. The answer has ``acknowledged`` (one
entry a check whose recording returned), ``steps`` (how many were gone through), ``killed`` and
``failed``.
"""

from __future__ import annotations

import functools
import hashlib
import json
import os
import random
import select
import signal
import sys
import tempfile
import time
from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

import alembic.command  # noqa: F401  (loaded once here instead of in every fork)
from sqlalchemy.engine.default import DefaultDialect

import spikecheck.pipeline
import spikecheck.store.store  # noqa: F401
from spikecheck.errors import DuplicateCrossError
from spikecheck.record_check import record_check, record_draft
from spikecheck.store import open_store
from spikecheck.store.drafts import DraftPhoto, new_draft
from spikecheck.vocabulary import (
    CheckResult,
    Findings,
    ModelIdentity,
    PhotoQuality,
    PhotoResult,
    QualityProblem,
    Reason,
    Risk,
    Verdict,
)
from spikecheck.vocabulary.plan import PlannedCross, PlannedParent

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.store import RecordedCheck, Store

CROSS = "W26-014"
_PHOTO_BYTES = 200_000
_HOOKED = (
    (os, "fsync"),
    (os, "replace"),
    (os, "mkdir"),
    (os, "unlink"),
    (os, "rmdir"),
    (tempfile, "mkstemp"),
    (DefaultDialect, "do_execute"),
    (DefaultDialect, "do_executemany"),
    (DefaultDialect, "do_commit"),
)


class Steps:
    """Counts steps and kills the process at the one asked for."""

    def __init__(self, fatal: int | None) -> None:
        self.count = 0
        self._fatal = fatal

    def hook(self, call: Callable[..., Any]) -> Callable[..., Any]:
        @functools.wraps(call)
        def hooked(*given: Any, **named: Any) -> Any:
            self._pass()
            answer = call(*given, **named)
            self._pass()
            return answer

        return hooked

    def _pass(self) -> None:
        if self.count == self._fatal:
            os.kill(os.getpid(), signal.SIGKILL)
        self.count += 1


def photo_and_overlay(number: int) -> tuple[bytes, bytes]:
    noise = random.Random(number).randbytes(_PHOTO_BYTES)
    return b"\xff\xd8\xff" + noise, b"\x89PNG\r\n\x1a\n" + noise[::-1]


def check_of(photo: bytes) -> CheckResult:
    problem = QualityProblem.NO_SPIKE
    findings = Findings(
        model=ModelIdentity("invented", "1", "a" * 64),
        spike=None, other_spikes=0, scale=None, florets=(), anthers=(), unexplained=1.0,
    )  # fmt: skip
    entry = PhotoResult(
        file="photo.jpg",
        sha256=hashlib.sha256(photo).hexdigest(),
        width=4000,
        height=3000,
        taken_at=datetime(2026, 6, 1, tzinfo=UTC),
        quality=PhotoQuality(usable=False, problems=(problem,), measures={}),
        findings=findings,
        florets=(),
    )
    return CheckResult(
        verdict=Verdict.REVIEW,
        reasons=(Reason(problem.value, problem.advice, photo=0),),
        risk=Risk(p_leftover=1.0, expected_selfed_share=None, calibrated=False),
        photos=(entry,),
        timing_ms={},
        software_version="0.1",
    )


def go_on_with_draft(store: Store, number: int, *, by: str) -> RecordedCheck:
    """Take up the draft that is there, as the page does, or keep one; then record its check."""
    photo, overlay = photo_and_overlay(number)
    kept = next(iter(store.drafts.of(by)), None)
    if kept is None:
        name = DraftPhoto("photo.jpg", hashlib.sha256(photo).hexdigest())
        kept = replace(new_draft(by, now=datetime.now(UTC)), photos=(name,))
        store.drafts.keep(kept, [photo])
    elif store.drafts.photo(kept, kept.photos[0]) != photo:
        raise ValueError("the draft holds another photo")
    return record_draft(
        store, kept, check_of(photo), cross=CROSS, spike=1 + number % 7, by=by,
        photos=[photo], overlays=[overlay],
    )  # fmt: skip


def carry_out(order: dict[str, Any], answer_to: int) -> None:
    """Record as ordered, telling each check as soon as it is acknowledged."""
    steps = Steps(order.get("step"))
    for owner, name in _HOOKED:
        setattr(owner, name, steps.hook(getattr(owner, name)))

    def tell(entry: dict[str, Any]) -> None:
        os.write(answer_to, json.dumps(entry).encode() + b"\n")

    with open_store(order["store"]) as store:
        try:
            store.plans.add(PlannedCross(CROSS, PlannedParent("Ferra"), PlannedParent("Olmo")))
        except DuplicateCrossError:
            tell({"cross": "there already"})
        for number in range(order["first"], order["first"] + order["checks"]):
            photo, overlay = photo_and_overlay(number)
            if order.get("draft"):
                recorded = go_on_with_draft(store, number, by=order["by"])
            else:
                recorded = record_check(
                    store,
                    check_of(photo),
                    cross=CROSS,
                    spike=1 + number % 7,
                    by=order["by"],
                    photos=[photo],
                    overlays=[overlay],
                )
            tell(
                {
                    "check": recorded.id,
                    "spike": recorded.spike,
                    "photo": hashlib.sha256(photo).hexdigest(),
                    "overlay": hashlib.sha256(overlay).hexdigest(),
                }
            )
    tell({"steps": steps.count})


def attend(order: dict[str, Any]) -> dict[str, Any]:
    """Fork, kill when ordered so, and gather what was told until then."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        carry_out(order, writing)
        os._exit(0)
    os.close(writing)
    kill_at_s: float | None = None
    told = b""
    while True:
        if "after_s" in order and told.count(b'"check"') >= order["after_checks"]:
            kill_at_s = time.monotonic() + order.pop("after_s")
        wait_s = None if kill_at_s is None else max(0.0, kill_at_s - time.monotonic())
        if not select.select([reading], [], [], wait_s)[0]:
            os.kill(child, signal.SIGKILL)
            kill_at_s = None
            continue
        piece = os.read(reading, 65536)
        if not piece:
            break
        told += piece
    os.close(reading)
    status = os.waitpid(child, 0)[1]
    entries = [json.loads(line) for line in told.splitlines()]
    return {
        "acknowledged": [entry for entry in entries if "check" in entry],
        "steps": next((entry["steps"] for entry in entries if "steps" in entry), None),
        "killed": os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGKILL,
        "failed": not os.WIFSIGNALED(status) and os.WEXITSTATUS(status) != 0,
    }


if __name__ == "__main__":
    for line in sys.stdin:
        sys.stdout.write(json.dumps(attend(json.loads(line))) + "\n")
        sys.stdout.flush()
