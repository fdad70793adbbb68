"""The pool: photos with truth beside them, by what is in the file and not by its name."""

from __future__ import annotations

import hashlib
import os
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from PIL import Image

from spikecheck.coaching import PRACTICE_FOLDERS_VARIABLE, Source, practice_folders, read_pool
from spikecheck.errors import UsageError
from spikecheck.vocabulary import write_truth
from tests.coaching.practice_photos import HEIGHT, NUMBERS, WIDTH, anther, truth

MARKED = {"marked_by": "Ida", "marked_at": datetime(2026, 5, 1, tzinfo=UTC)}


def put(folder, name, made, shade=0, size=(WIDTH, HEIGHT)):
    folder.mkdir(exist_ok=True)
    Image.new("RGB", size, (shade, 120, 90)).save(folder / name)
    if made is not None:
        beside = (folder / name).with_suffix(".json")
        write_truth(replace(made, image=name), beside)
    return folder / name


def test_rendered_and_reviewed_photos_of_several_folders(tmp_path):
    drawn = put(tmp_path / "drawn", "leftover_1.png", truth(anther()), 1)
    own = put(tmp_path / "own", "b.png", truth(**MARKED), 2)
    pool = read_pool([tmp_path / "drawn", tmp_path / "own"], NUMBERS)
    ids = {path: hashlib.sha256(path.read_bytes()).hexdigest() for path in (drawn, own)}
    assert set(pool.photos) == set(ids.values())
    assert pool.photos[ids[drawn]].source is Source.RENDERED
    assert pool.photos[ids[own]].source is Source.REVIEWED
    assert pool.photos[ids[own]].path == own
    assert (pool.count(), pool.count(clean=True)) == (2, 1)
    assert pool.count(source=Source.RENDERED, clean=False) == 1
    assert pool.left_out == ()


def test_what_cannot_be_used_is_told(tmp_path):
    put(tmp_path, "a.png", truth(), 1)
    put(tmp_path, "b.png", None, 2)
    put(tmp_path, "c.png", truth(complete=False), 3)
    put(tmp_path, "d.png", truth(), 1)
    put(tmp_path, "e.png", truth(), 5, size=(WIDTH, HEIGHT - 1))
    (tmp_path / "f.png").write_bytes(b"no picture")
    write_truth(replace(truth(), image="f.png"), tmp_path / "f.json")
    (put(tmp_path, "g.png", None, 7)).with_suffix(".json").write_text("{}")
    pool = read_pool([tmp_path], NUMBERS)
    assert [photo.path.name for photo in pool.photos.values()] == ["a.png"]
    told = {one.path.name: one.why for one in pool.left_out}
    assert list(told) == ["b.png", "c.png", "d.png", "e.png", "f.png", "g.png"]
    assert "nothing is marked" in told["b.png"]
    assert "not finished" in told["c.png"]
    assert "second time" in told["d.png"]
    assert "another size" in told["e.png"]
    assert all(told.values())


def test_a_photo_turned_by_its_exif_is_the_picture_that_was_marked(tmp_path):
    exif = Image.Exif()
    exif[0x0112] = 6
    Image.new("RGB", (HEIGHT, WIDTH), (1, 2, 3)).save(tmp_path / "a.jpg", exif=exif)
    write_truth(replace(truth(), image="a.jpg"), tmp_path / "a.json")
    assert read_pool([tmp_path], NUMBERS).count() == 1


def test_folders_come_from_the_environment(tmp_path):
    named = os.pathsep.join([str(tmp_path), "b"])
    folders = practice_folders({PRACTICE_FOLDERS_VARIABLE: named})
    assert [str(folder) for folder in folders] == [str(tmp_path), "b"]
    assert practice_folders({}) == ()
    with pytest.raises(UsageError, match="no such folder"):
        read_pool([tmp_path / "none"], NUMBERS)
