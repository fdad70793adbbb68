"""Records, photos of nothing, and checks whose outcome a test chooses."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from spikecheck.bench_check import judging
from spikecheck.store import open_store
from tests.made_up_results import made_up_png, passed, reviewed
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from spikecheck.store import Store


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(str(tmp_path / "records")) as opened:
        opened.plans.add(planned("SPICA-7", "Morgenrot", "Tiefland 3"))
        yield opened


@pytest.fixture
def png() -> Callable[[int], bytes]:
    return made_up_png


@pytest.fixture
def answer_pass(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every check answers pass."""
    monkeypatch.setattr(judging, "check_photos", passed)


@pytest.fixture
def answer_review(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every check answers review: an anther in L2 of the first photo, one outside the florets."""
    monkeypatch.setattr(judging, "check_photos", reviewed)
