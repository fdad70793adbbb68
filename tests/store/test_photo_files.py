from __future__ import annotations

import errno
import hashlib
import os
import time
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from spikecheck.errors import StoreError
from spikecheck.store.photo_files import PhotoFiles

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def photos(folder: Path) -> PhotoFiles:
    return PhotoFiles(folder)


def _files(folder: Path) -> list[str]:
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file())


@given(content=st.binary(max_size=300))
@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_bytes_round_trip(photos: PhotoFiles, content: bytes):
    sha256 = photos.keep(content)
    assert sha256 == hashlib.sha256(content).hexdigest()
    assert photos.read(sha256) == content


@pytest.mark.parametrize(
    ("head", "ending"),
    [
        (b"\xff\xd8\xff\xe1", ".jpg"),
        (b"\x89PNG\r\n\x1a\n", ".png"),
        (b"RIFF\0\0\0\0WEBP", ".webp"),
        (b"II*\0", ".tif"),
        (b"MM\0*", ".tif"),
        (b"\0\0\0\x18ftypheic", ".heic"),
        (b"something", ""),
    ],
)
def test_place_and_ending_follow_from_the_bytes(
    photos: PhotoFiles, folder: Path, head: bytes, ending: str
):
    sha256 = photos.keep(head)
    assert _files(folder) == [f"{sha256[:2]}{os.sep}{sha256}{ending}"]


def test_same_bytes_are_kept_once_and_not_written_again(photos: PhotoFiles, folder: Path):
    sha256 = photos.keep(b"photo")
    path = folder / _files(folder)[0]
    inode = path.stat().st_ino
    assert photos.keep(b"photo") == sha256
    assert path.stat().st_ino == inode
    assert len(_files(folder)) == 1


@pytest.mark.parametrize("damage", [b"", b"phota", b"photo and more"])
def test_damaged_file_is_told_then_healed(photos: PhotoFiles, folder: Path, damage: bytes):
    sha256 = photos.keep(b"photo")
    (folder / _files(folder)[0]).write_bytes(damage)
    with pytest.raises(StoreError, match=r"the photo is damaged \(.{12}…\)\. Put it back"):
        photos.read(sha256)
    photos.keep(b"photo")
    assert photos.read(sha256) == b"photo"


def test_missing_file_is_told(photos: PhotoFiles):
    with pytest.raises(StoreError, match="the photo is missing"):
        photos.read("0" * 64)


@pytest.mark.parametrize(
    ("number", "message"),
    [
        (errno.ENOSPC, "the disk is full. Make room and try again; nothing was recorded"),
        (errno.EROFS, "the photo folder may only be read. Use a folder that you may write to"),
        (errno.EACCES, "no right to the photo folder. Use a folder"),
        (errno.EIO, r"the photo cannot be kept \(Input/output error\). Check the disk"),
    ],
)
@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_disk_trouble_is_told_and_leaves_nothing(
    photos: PhotoFiles,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    *,
    number: int,
    message: str,
    step: str,
):
    photos.keep(b"one before")
    before = _files(folder)

    def fail(*_given: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, step, fail)
    with pytest.raises(StoreError, match=message):
        photos.keep(b"photo")
    assert _files(folder) == before


def test_sweep_takes_only_what_was_left_long_ago(photos: PhotoFiles, folder: Path):
    photos.sweep()  # no folder yet: nothing to do
    kept = photos.keep(b"photo")
    old, fresh = folder / "incoming" / "old", folder / "incoming" / "fresh"
    old.write_bytes(b"half")
    fresh.write_bytes(b"half")
    an_hour_ago_s = time.time() - 3601
    os.utime(old, (an_hour_ago_s, an_hour_ago_s))
    photos.sweep()
    assert not old.exists()
    assert fresh.exists()
    assert photos.read(kept) == b"photo"
