"""The page with records of its own, and checks whose outcome a test chooses."""

from __future__ import annotations

import sys
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest
import streamlit as st
from PIL import Image
from streamlit import config
from streamlit.testing.v1 import AppTest

from spikecheck.bundled import bundled_folder
from spikecheck.vocabulary import (
    Box,
    CheckResult,
    Findings,
    Floret,
    FloretStatus,
    JudgedFloret,
    ModelIdentity,
    PhotoQuality,
    PhotoResult,
    Point,
    Reason,
    Risk,
    Side,
    Spike,
    Verdict,
)
from tests.plans import planned

_APP = bundled_folder("app")
sys.path.insert(0, str(_APP))  # as `streamlit run` does
sys.path.insert(0, str(Path(__file__).parent))

import draft  # noqa: E402
import resources  # noqa: E402
from visitor import Visitor  # noqa: E402

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from spikecheck.store import Store
    from spikecheck.thresholds import Thresholds
    from spikecheck.vocabulary import Finder, Photo

LONGEST_RUN_S = 60

config.set_option("server.address", "127.0.0.1")  # as the command serves it


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Store]:
    """The records that the page opens."""
    monkeypatch.setenv("SPIKECHECK_STORE", str(tmp_path))
    monkeypatch.setenv("SPIKECHECK_CALIBRATION", "shipped")
    st.cache_resource.clear()
    opened = resources.store()
    yield opened
    opened.close()
    st.cache_resource.clear()


@pytest.fixture
def visitor(store: Store) -> Visitor:
    """Someone in front of the page as it comes up, with one cross, SPICA-7."""
    store.plans.add(planned("SPICA-7", "Morgenrot", "Tiefland 3"))
    page = AppTest.from_file(str(_APP / "streamlit_app.py"), default_timeout=LONGEST_RUN_S)
    return Visitor(page.run())


@pytest.fixture
def png() -> Callable[[int], bytes]:
    """Make a small PNG; another seed, another picture."""

    def make(seed: int) -> bytes:
        pixels = np.random.default_rng(seed).integers(0, 255, (160, 120, 3), np.uint8)
        file = BytesIO()
        Image.fromarray(pixels).save(file, "PNG")
        return file.getvalue()

    return make


@pytest.fixture
def answer_pass(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every check answers pass."""
    _answer(monkeypatch, _passed)


@pytest.fixture
def answer_review(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every check answers review: an anther in L2 of the first photo, one outside the florets."""
    _answer(monkeypatch, _reviewed)


def _answer(monkeypatch: pytest.MonkeyPatch, answer: Callable[..., CheckResult]) -> None:
    monkeypatch.setattr(draft, "check_photos", answer)
    monkeypatch.setattr(resources, "finder", lambda: None)


_MODEL = ModelIdentity("made up for tests", "0", "0" * 64)


def _passed(photos: Sequence[Photo], *, finder: Finder, thresholds: Thresholds) -> CheckResult:
    """Answer pass, whatever the photos show."""
    return _result(photos, Verdict.PASS, (), FloretStatus.CLEAR)


def _reviewed(photos: Sequence[Photo], *, finder: Finder, thresholds: Thresholds) -> CheckResult:
    """Answer review: an anther in L2 of the first photo, and one outside the florets."""
    reasons = (
        Reason("anther_left", "Green anther in floret L2.", 0, "L2", Point(50, 40)),
        Reason("anther_outside_floret", "Green anther outside the florets.", 0, None, Point(9, 9)),
        Reason("one_face_only", "Only one face was photographed."),
    )
    return _result(photos, Verdict.REVIEW, reasons, FloretStatus.ANTHER)


def _result(
    photos: Sequence[Photo], verdict: Verdict, reasons: tuple[Reason, ...], status: FloretStatus
) -> CheckResult:
    floret = Floret("L2", Point(50, 40), Box(40, 30, 60, 50), Side.LEFT, 0.3, True, 1.0)
    spike = Spike(
        np.array([(20.0, 40.0), (20.0, 80.0), (140.0, 80.0), (140.0, 40.0)]),
        np.array([(140.0, 60.0), (20.0, 60.0)]),
        cut_off=False,
        hidden_share=0.0,
    )
    findings = Findings(_MODEL, spike, 0, None, (floret,), (), 0.0)
    judged = JudgedFloret(floret, status, 0.5)
    return CheckResult(
        verdict,
        reasons,
        Risk(0.5, None, calibrated=False),
        tuple(
            PhotoResult(
                photo.file, photo.sha256, photo.width, photo.height, photo.taken_at,
                PhotoQuality(usable=True, problems=()), findings, (judged,),
            )
            for photo in photos
        ),
        {"total": 1.0},
        "0",
    )  # fmt: skip


@pytest.fixture
def review() -> Callable[..., CheckResult]:
    """Make the answer of ``answer_review`` for some photos."""
    return lambda photos: _reviewed(photos, finder=None, thresholds=None)  # type: ignore[arg-type]
