"""A folder of small photos to mark, and a clock that stands still."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from spikecheck.labelling import LabelSession

if TYPE_CHECKING:
    from pathlib import Path

NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)
WIDTH, HEIGHT = 60, 120


def write_photo(path: Path, shade: int = 90) -> Path:
    Image.new("RGB", (WIDTH, HEIGHT), (shade, 120, 90)).save(path)
    return path


@pytest.fixture
def photos(tmp_path: Path) -> tuple[Path, ...]:
    return tuple(write_photo(tmp_path / f"{name}.png", 60 + n) for n, name in enumerate("abc"))


@pytest.fixture
def session(photos: tuple[Path, ...]) -> LabelSession:
    """Someone with photo a open."""
    started = LabelSession(photos, now=lambda: NOON)
    started.open(photos[0], width=WIDTH, height=HEIGHT)
    return started
