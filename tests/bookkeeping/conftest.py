"""An empty store, and a clock that stands still."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from spikecheck.store import open_store
from tests.bookkeeping.invented import NOW
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from spikecheck.store import Store


@pytest.fixture(autouse=True)
def _utc(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SPIKECHECK_ZONE", "UTC")


@pytest.fixture
def _known_now(monkeypatch: pytest.MonkeyPatch) -> None:
    """The store takes steps up to a known moment."""
    monkeypatch.setattr("spikecheck.store.spike_history.now", lambda: NOW)


@pytest.fixture
def new_store(tmp_path: Path, _known_now: None) -> Iterator[Callable[[str], Store]]:
    """Make an empty store of a name."""
    opened = []

    def make(name: str) -> Store:
        opened.append(open_store(str(tmp_path / name)))
        return opened[-1]

    yield make
    for one in opened:
        one.close()


@pytest.fixture
def store(new_store: Callable[[str], Store]) -> Store:
    """A store with the cross C-1 of Ferra and Olmo."""
    made = new_store("records")
    made.plans.add(planned())
    return made
