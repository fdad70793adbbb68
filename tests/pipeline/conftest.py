"""A finder that reports what a test tells it to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest

from tests.builders import MODEL, findings, quality

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.vocabulary import Findings, ModelIdentity, Photo, PhotoQuality


@dataclass
class ToldFinder:
    """Reports ``told[file]``, or a clean spike."""

    told: dict[str, Findings]

    @property
    def model(self) -> ModelIdentity:
        return MODEL

    def find(self, photo: Photo) -> Findings:
        return self.told.get(photo.file, findings())


@pytest.fixture
def finder() -> Callable[..., ToldFinder]:
    """Make a finder from findings by file name."""
    return lambda **told: ToldFinder({f"{name}.jpg": seen for name, seen in told.items()})


@pytest.fixture
def good_photos(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every photo is judged good: how photos are judged is tested in its own room."""

    def judge(photo: Photo, seen: Findings, *, thresholds: object) -> PhotoQuality:
        return quality(measures={"sharpness_px": 1.0})

    monkeypatch.setattr("spikecheck.photo.judge_quality", judge, raising=False)
