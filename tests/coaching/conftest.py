from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from spikecheck.store import open_store

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from spikecheck.store import Store


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(str(tmp_path / "records")) as opened:
        yield opened
