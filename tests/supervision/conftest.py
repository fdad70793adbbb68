"""A small invented session in records of its own."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from spikecheck.audit import SamplingPlan, SpikeName
from spikecheck.store import open_store
from spikecheck.supervision import draw_session, session_audit
from tests.audited_session import SESSION, Built, build_session

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from spikecheck.store import Store


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Built]:
    """Records with a session of 30 spikes, made once, never written to."""
    folder = tmp_path_factory.mktemp("template") / "records"
    with open_store(str(folder)) as made:
        built = build_session(made, count=30)
    return folder, built


@pytest.fixture
def built(template: tuple[Path, Built]) -> Built:
    """What is in the session."""
    return template[1]


@pytest.fixture
def store(template: tuple[Path, Built], tmp_path: Path) -> Iterator[Store]:
    """The session in records of this test's own."""
    import shutil

    shutil.copytree(template[0], tmp_path / "records")
    with open_store(str(tmp_path / "records")) as opened:
        yield opened


@pytest.fixture
def drawn(store: Store) -> tuple[SpikeName, ...]:
    """A sample of six spikes, drawn by Gro."""
    lot = session_audit(store, SESSION).lot
    return draw_session(store, SESSION, SamplingPlan(lot, 6, 0), by="Gro").drawn


@pytest.fixture
def photos_of(store: Store) -> Callable[[SpikeName], list[str]]:
    """What returns the digests of the photos of a spike's latest check."""

    def find(name: SpikeName) -> list[str]:
        check = store.spikes.one(name.cross, name.spike).check
        assert check is not None
        return [photo.sha256 for photo in store.photos_of([check])[check]]

    return find
