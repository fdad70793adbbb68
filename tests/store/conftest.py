from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from spikecheck.store import NewCheck, NewPhoto, open_store
from spikecheck.vocabulary import ModelIdentity, Verdict

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from spikecheck.store import Store

JPEG = b"\xff\xd8\xff\xe0 invented photo "
PNG = b"\x89PNG\r\n\x1a\n invented overlay "


@pytest.fixture(autouse=True)
def _no_store_of_the_user(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("SPIKECHECK_STORE", "SPIKECHECK_PHOTOS"):
        monkeypatch.delenv(name, raising=False)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "records"


@pytest.fixture
def store(folder: Path) -> Iterator[Store]:
    with open_store(str(folder), wait_s=0.2) as opened:
        yield opened


@pytest.fixture
def make_check() -> Callable[..., NewCheck]:
    def make(verdict: Verdict = Verdict.REVIEW, faces: int = 1, mark: str = "a") -> NewCheck:
        return NewCheck(
            verdict=verdict,
            result='{"schema": "spikecheck.result/1"}',
            model=ModelIdentity("invented", "3", "a" * 64),
            thresholds_sha256="b" * 64,
            software_version="0.1",
            photos=tuple(
                NewPhoto(
                    f"DCIM/face {face}.jpg",
                    JPEG + f"{mark}{face}".encode(),
                    PNG + f"{mark}{face}".encode(),
                )
                for face in range(faces)
            ),
        )

    return make
