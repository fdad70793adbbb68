from __future__ import annotations

import hashlib
import json
from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import jsonschema
import pytest

from spikecheck.errors import UnknownCrossError, UsageError
from spikecheck.pipeline import result_entry, result_schema
from spikecheck.record_check import record_check, told_of_other_spikes
from spikecheck.store import open_store
from spikecheck.thresholds import load_thresholds
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
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from spikecheck.store import Store

PHOTOS = (b"\xff\xd8\xff invented face one", b"\xff\xd8\xff invented face two")
OVERLAYS = (b"\x89PNG\r\n\x1a\n one", b"\x89PNG\r\n\x1a\n two")
_AGAIN = "Check the photos again and record that"
_IT_AGAIN = "Check it again and record that"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "records"


@pytest.fixture
def store(folder: Path) -> Iterator[Store]:
    with open_store(str(folder)) as opened:
        opened.plans.add(planned("W26-014", "Ferra", "Olmo"))
        yield opened


@pytest.fixture
def result() -> CheckResult:
    """A check of two photos in which no spike was recognised."""
    problem = QualityProblem.NO_SPIKE
    return CheckResult(
        verdict=Verdict.REVIEW,
        reasons=tuple(Reason(problem.value, problem.advice, photo=face) for face in (0, 1)),
        risk=Risk(p_leftover=1.0, expected_selfed_share=None, calibrated=False),
        photos=tuple(
            PhotoResult(
                file=f"DCIM/face {face}.jpg",
                sha256=hashlib.sha256(content).hexdigest(),
                width=4000,
                height=3000,
                taken_at=datetime(2026, 6, 1, 7, 30, tzinfo=UTC),
                quality=PhotoQuality(usable=False, problems=(problem,), measures={}),
                findings=Findings(
                    model=ModelIdentity("invented", "3", "a" * 64),
                    spike=None,
                    other_spikes=0,
                    scale=None,
                    florets=(),
                    anthers=(),
                    unexplained=1.0,
                ),
                florets=(),
            )
            for face, content in enumerate(PHOTOS)
        ),
        timing_ms={"read": 12.0},
        software_version="0.1.dev0",
    )


def test_check_is_filed_beside_its_cross(store: Store, result: CheckResult):
    recorded = record_check(
        store, result, cross="W26-014", spike=3, by="Ida", photos=PHOTOS, overlays=OVERLAYS
    )
    assert store.checks("W26-014") == (recorded,)
    assert (recorded.cross, recorded.spike, recorded.by) == ("W26-014", 3, "Ida")
    assert recorded.verdict is Verdict.REVIEW
    assert recorded.model == ModelIdentity("invented", "3", "a" * 64)
    assert recorded.software_version == "0.1.dev0"
    assert recorded.thresholds_sha256 == load_thresholds().sha256
    assert [photo.sha256 for photo in recorded.photos] == [p.sha256 for p in result.photos]
    assert [store.photo(photo) for photo in recorded.photos] == list(PHOTOS)
    assert [store.overlay(photo) for photo in recorded.photos] == list(OVERLAYS)


def test_result_kept_is_the_contract_object(store: Store, result: CheckResult):
    recorded = record_check(
        store, result, cross="W26-014", spike=3, by="Ida", photos=PHOTOS, overlays=OVERLAYS
    )
    kept = json.loads(recorded.result)
    assert kept == result_entry(result)
    jsonschema.validate(kept, result_schema())


def _refused(store: Store, folder: Path, result: CheckResult, **changed: object) -> str:
    given = {"cross": "W26-014", "spike": 3, "by": "Ida", "photos": PHOTOS, "overlays": OVERLAYS}
    with pytest.raises((UsageError, UnknownCrossError)) as caught:
        record_check(store, result, **{**given, **changed})  # type: ignore[arg-type]
    assert not (folder / "photos").exists()
    assert store.checks("W26-014") == ()
    return str(caught.value)


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"cross": "W26-041"}, "no cross W26-041 is recorded. Did you mean W26-014?"),
        ({"spike": 0}, "spikes are numbered from 1, got 0. Give its number"),
        ({"by": ""}, "the name of who checked is empty. Give one"),
        (
            {"photos": PHOTOS[:1]},
            "a check of 2 photos came with 1 photo files and 2 overlays. " + _AGAIN,
        ),
        (
            {"overlays": ()},
            "a check of 2 photos came with 2 photo files and 0 overlays. " + _AGAIN,
        ),
        (
            {"photos": PHOTOS[::-1]},
            "DCIM/face 0.jpg: the file has changed since it was checked. " + _IT_AGAIN,
        ),
    ],
)
def test_what_cannot_be_filed_keeps_nothing(
    store: Store, folder: Path, result: CheckResult, changed: dict[str, object], message: str
):
    assert _refused(store, folder, result, **changed) == message


def test_result_without_photos_is_refused(store: Store, folder: Path, result: CheckResult):
    message = _refused(store, folder, replace(result, photos=()), photos=(), overlays=())
    assert message.startswith("a check of 0 photos came with 0 photo files and 0 overlays")


def test_a_photo_that_another_spike_has_is_told(store: Store, result: CheckResult):
    def told(cross: str | None, spike: int) -> str:
        return told_of_other_spikes(store, result, cross=cross, spike=spike)

    assert told("W26-014", 3) == ""
    for spike in (3, 5):
        record_check(
            store, result, cross="W26-014", spike=spike, by="Ida", photos=PHOTOS, overlays=OVERLAYS
        )
    assert told("W26-014", 3) == (
        "A photo is recorded with W26-014/5 already: make sure which spike it shows."
    )
    assert "W26-014/3, W26-014/5" in told(None, 3).replace(" and", ",")
