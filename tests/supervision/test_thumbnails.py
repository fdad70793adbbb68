"""Thumbnails: made once, small, whole or not there, swept without loss."""

from __future__ import annotations

import io
import os
import time
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING

import numpy as np
import pytest
from PIL import Image

from spikecheck.errors import StoreError
from spikecheck.imaging.thumbnail import LONGEST_PX, thumbnail
from spikecheck.store import RecordedPhoto
from spikecheck.supervision.thumbnails import Thumbnails, thumbnail_folder

if TYPE_CHECKING:
    from pathlib import Path


def picture(kind: str = "JPEG", size: tuple[int, int] = (900, 1600), seed: int = 0) -> bytes:
    coarse = np.random.default_rng(seed).integers(0, 255, (8, 6, 3), np.uint8)
    file = io.BytesIO()
    Image.fromarray(coarse).resize(size).save(file, kind)
    return file.getvalue()


OVERLAYS = {"a" * 64: picture(), "b" * 64: picture("PNG", seed=1), "c" * 64: b"no picture"}


def photo(letter: str) -> RecordedPhoto:
    return RecordedPhoto("x.jpg", "0" * 64, letter * 64)


def read(one: RecordedPhoto) -> bytes:
    if one.overlay_sha256 not in OVERLAYS:
        raise StoreError("the photo is missing")
    return OVERLAYS[one.overlay_sha256]


@pytest.fixture
def made(tmp_path: Path) -> Thumbnails:
    return Thumbnails(tmp_path / "thumbnails", read)


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
@pytest.mark.parametrize("size", [(900, 1600), (1600, 900), (40, 30)])
def test_a_thumbnail_is_a_small_picture_of_the_same(kind: str, size: tuple[int, int]):
    small = Image.open(io.BytesIO(thumbnail(picture(kind, size)) or b""))
    assert small.format == "JPEG"
    assert max(small.size) == min(LONGEST_PX, max(size))
    assert small.width / small.height == pytest.approx(size[0] / size[1], rel=0.02)
    large = Image.open(io.BytesIO(picture(kind, size))).convert("RGB").resize(small.size)
    difference = np.abs(np.asarray(small, float) - np.asarray(large, float)).mean()
    assert difference < 9  # of 255: the same picture, packed harder


@pytest.mark.parametrize("data", [b"", b"no picture", picture()[:60]])
def test_what_is_no_picture_has_no_thumbnail(data: bytes):
    assert thumbnail(data) is None


def test_each_is_made_once_and_found_by_the_next_process(made: Thumbnails, tmp_path: Path):
    photos = [photo("a"), photo("b")]
    first = made.of(photos)
    assert all(first)
    assert made.of(photos) == first
    assert made.made == 2
    later = Thumbnails(tmp_path / "thumbnails", read)
    assert later.of(photos) == first
    assert later.made == 0


def test_visitors_at_the_same_time_get_the_same_whole_pictures(made: Thumbnails, tmp_path: Path):
    photos = [photo("a"), photo("b"), photo("c")]
    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(lambda _n: made.of(photos), range(24)))
    assert all(one == found[0] for one in found)
    assert [one is None for one in found[0]] == [False, False, True]
    assert {path.suffix for path in (tmp_path / "thumbnails").rglob("*.*")} == {".jpg"}


def test_a_missing_or_damaged_overlay_leaves_a_gap_and_no_error(made: Thumbnails, tmp_path: Path):
    found = made.of([photo("a"), photo("c"), photo("d")])
    assert [one is None for one in found] == [False, True, True]
    assert len(list((tmp_path / "thumbnails").rglob("*.*"))) == 1


def test_the_next_page_is_made_ahead(made: Thumbnails, tmp_path: Path):
    made.prepare([photo("a"), photo("b"), photo("c")])
    end = time.monotonic() + 60  # they give way to whatever else runs on the machine
    while len(list((tmp_path / "thumbnails").rglob("*.jpg"))) < 2 and time.monotonic() < end:
        time.sleep(0.01)
    made.of([photo("a"), photo("b")])
    assert made.made == 2


def test_a_folder_that_cannot_be_written_costs_time_only(tmp_path: Path):
    (tmp_path / "file").write_text("not a folder")
    made = Thumbnails(tmp_path / "file", read)
    assert all(made.of([photo("a")]))
    assert made.of([photo("a")]) == made.of([photo("a")])


def test_sweeping_removes_what_is_old_and_nothing_is_lost(made: Thumbnails, tmp_path: Path):
    first = made.of([photo("a"), photo("b")])
    old, _new = sorted((tmp_path / "thumbnails").rglob("*.jpg"))
    left = old.parent / "killed.part"
    left.write_bytes(b"half")
    long_ago = time.time() - 100 * 86_400
    os.utime(old, (long_ago, long_ago))
    os.utime(left, (long_ago, long_ago))
    made.sweep()
    assert len(list((tmp_path / "thumbnails").rglob("*.*"))) == 1
    assert made.of([photo("a"), photo("b")]) == first


def test_looking_keeps_a_thumbnail_from_being_swept(made: Thumbnails, tmp_path: Path):
    made.of([photo("a")])
    (kept,) = (tmp_path / "thumbnails").rglob("*.jpg")
    long_ago = time.time() - 100 * 86_400
    os.utime(kept, (long_ago, long_ago))
    made.of([photo("a")])
    made.sweep()
    assert kept.exists()


def test_the_folder_can_be_named(monkeypatch: pytest.MonkeyPatch, tmp_path: Path):
    monkeypatch.setenv("SPIKECHECK_CACHE", str(tmp_path))
    assert thumbnail_folder() == tmp_path / "thumbnails"
    monkeypatch.delenv("SPIKECHECK_CACHE")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "user"))
    assert "spikecheck" in thumbnail_folder().parts
