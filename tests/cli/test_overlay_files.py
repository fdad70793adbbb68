"""Overlay files: named after their photo, whole, never over something else."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import numpy as np
import pytest

from spikecheck.cli.overlay_files import OVERLAY_COMMENT, write_overlays
from spikecheck.errors import OutputError
from spikecheck.imaging.encoding import encode_jpeg

GREY = np.full((8, 8, 3), 90, np.uint8)
OVERLAY = encode_jpeg(GREY, comment=OVERLAY_COMMENT)


def test_each_overlay_is_named_after_its_photo(tmp_path):
    files = write_overlays(
        [OVERLAY] * 3, [Path("x/a.jpg"), Path("y/a.png"), Path("b.c.heic")], folder=tmp_path
    )
    names = ["a.overlay.jpg", "a-2.overlay.jpg", "b.c.overlay.jpg"]
    assert [file.name for file in files] == names
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(names)


@pytest.mark.parametrize("letter", ["n", "é", "写"])
def test_a_name_near_the_longest_is_cut_between_letters(tmp_path, letter):
    photos = [Path(letter * (250 // len(letter.encode())) + f"{n}.jpg") for n in (1, 2)]
    files = write_overlays([OVERLAY] * 2, photos, folder=tmp_path)
    assert all(file.name.startswith(letter * 70) for file in files)
    assert files[0] != files[1]
    assert all(file.exists() for file in files)


def test_an_older_overlay_is_replaced(tmp_path):
    write_overlays([OVERLAY], [Path("a.jpg")], folder=tmp_path)
    newer = encode_jpeg(GREY + 50, comment=OVERLAY_COMMENT)
    (file,) = write_overlays([newer], [Path("a.jpg")], folder=tmp_path)
    assert file.read_bytes() == newer


@pytest.mark.parametrize("content", [encode_jpeg(GREY), b"", b"my own notes"])
def test_a_file_that_is_no_overlay_is_kept(tmp_path, content):
    mine = tmp_path / "a.overlay.jpg"
    mine.write_bytes(content)
    with pytest.raises(OutputError, match=r"a\.overlay\.jpg: is there already and is no overlay"):
        write_overlays([OVERLAY], [Path("a.jpg")], folder=tmp_path)
    assert mine.read_bytes() == content


def test_a_dangling_link_is_not_followed(tmp_path):
    (tmp_path / "a.overlay.jpg").symlink_to(tmp_path / "gone" / "elsewhere.jpg")
    with pytest.raises(OutputError, match="is no overlay"):
        write_overlays([OVERLAY], [Path("a.jpg")], folder=tmp_path)


def test_a_place_that_cannot_be_written_is_told(tmp_path):
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(OutputError, match=r"the overlay cannot be written \(.*\)\. Name a folder"):
        write_overlays([OVERLAY], [Path("a.jpg")], folder=tmp_path / "file")


def test_a_failed_write_leaves_nothing_behind(tmp_path, monkeypatch):
    def refuse(self, target):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(type(tmp_path), "replace", refuse)
    with pytest.raises(OutputError, match=r"No space left on device"):
        write_overlays([OVERLAY], [Path("a.jpg")], folder=tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_overlays_may_be_read_like_any_new_file(tmp_path):
    (file,) = write_overlays([OVERLAY], [Path("a.jpg")], folder=tmp_path)
    mask = os.umask(0)
    os.umask(mask)
    assert stat.S_IMODE(file.stat().st_mode) == 0o666 & ~mask
