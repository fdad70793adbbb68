"""The page with records of its own, and checks whose outcome a test chooses."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
import streamlit as st
from streamlit import config
from streamlit.testing.v1 import AppTest

from spikecheck.bench_check import judging
from spikecheck.bundled import bundled_folder
from tests.made_up_results import made_up_png, passed, reviewed
from tests.plans import planned

_APP = bundled_folder("app")
sys.path.insert(0, str(_APP))  # as `streamlit run` does
sys.path.insert(0, str(Path(__file__).parent))

import resources  # noqa: E402
from visitor import Visitor  # noqa: E402

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from spikecheck.store import Store
    from spikecheck.vocabulary import CheckResult

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
    return made_up_png


@pytest.fixture
def answer_pass(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every check answers pass."""
    _answer(monkeypatch, passed)


@pytest.fixture
def answer_review(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every check answers review: an anther in L2 of the first photo, one outside the florets."""
    _answer(monkeypatch, reviewed)


def _answer(monkeypatch: pytest.MonkeyPatch, answer: Callable[..., CheckResult]) -> None:
    monkeypatch.setattr(judging, "check_photos", answer)
    monkeypatch.setattr(resources, "finder", lambda: None)


@pytest.fixture
def review() -> Callable[..., CheckResult]:
    """Make the answer of ``answer_review`` for some photos."""
    return reviewed
