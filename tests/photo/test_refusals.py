"""What is no photo: one line that names the file and the cure."""

from __future__ import annotations

import dataclasses
import os
import struct
import tracemalloc
import zlib

import numpy as np
import pytest
from PIL import Image

from spikecheck.errors import PhotoError
from spikecheck.photo import decode_photo, read_photo


def _refusal(path, reading):
    with pytest.raises(PhotoError) as caught:
        read_photo(path, thresholds=reading)
    line = str(caught.value)
    assert line.startswith(f"{path}: ")
    assert "\n" not in line
    assert caught.value.cure
    return line


def _file(tmp_path, name, data):
    path = tmp_path / name
    path.write_bytes(data)
    return path


def _png(width, height, *, extra=b""):
    """A PNG whose header promises ``width`` x ``height`` and which holds hardly a pixel."""

    def chunk(kind, body):
        return (
            struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        )

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + extra
        + chunk(b"IDAT", zlib.compress(b"\0" * 1000))
        + chunk(b"IEND", b"")
    )


def test_missing(tmp_path, reading):
    assert "no such file" in _refusal(tmp_path / "no.jpg", reading)


def test_folder(tmp_path, reading):
    assert "is a folder" in _refusal(tmp_path, reading)


def test_name_with_a_nul(tmp_path, reading):
    with pytest.raises(PhotoError, match=r"is no possible file name|no such file"):
        read_photo(tmp_path / "a\0b.jpg", thresholds=reading)


def test_pipe(tmp_path, reading):
    path = tmp_path / "pipe.jpg"
    os.mkfifo(path)
    assert "is not an ordinary file" in _refusal(path, reading)


def test_name_too_long(tmp_path, reading):
    assert "cannot be read (File name too long)" in _refusal(tmp_path / ("a" * 300), reading)


def test_zero_bytes(tmp_path, reading):
    assert "is empty (0 bytes)" in _refusal(_file(tmp_path, "a.jpg", b""), reading)


@pytest.mark.parametrize("text", [b" ", b"\n\n", b"notes on cross 7\n", b"\0" * 4096, b"<html>"])
def test_text_renamed_to_jpg(tmp_path, text, reading):
    line = _refusal(_file(tmp_path, "notes.jpg", text), reading)
    assert "is not a photo: its content is not JPEG, PNG, WebP, TIFF or HEIC" in line


@pytest.mark.parametrize(
    ("start", "name"),
    [
        (b"BM", "BMP picture"),
        (b"%PDF-1.7", "PDF document"),
        (b"\0\0\0\x18ftypmp42", "video or raw camera file"),
        (b"\0\0\0\x18ftypavif", "AVIF picture"),
        (b"\0\0\0\x18ftypmsf1", "HEIF picture sequence"),
        (b"\0\0\0\x0cjP  \r\n", "JPEG 2000 picture"),
    ],
)
def test_other_kinds_of_file_are_named(tmp_path, start, name, reading):
    line = _refusal(_file(tmp_path, "a.jpg", start + b"\0" * 64), reading)
    assert f"is a {name}, which is not read" in line


def test_gif(tmp_path, picture, encoded, reading):
    moving = encoded(picture, "GIF", save_all=True, append_images=[Image.new("RGB", (40, 24))])
    assert "is a GIF picture or animation" in _refusal(_file(tmp_path, "a.gif", moving), reading)


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_animations(tmp_path, kind, picture, encoded, reading):
    other = Image.new("RGB", picture.size, "white")
    data = encoded(picture, kind, save_all=True, append_images=[other], duration=100)
    assert "is an animation of 2 pictures" in _refusal(_file(tmp_path, "a.jpg", data), reading)


def test_tiff_of_two_pages(tmp_path, picture, encoded, reading):
    data = encoded(picture, "TIFF", save_all=True, append_images=[picture])
    assert "holds 2 pages" in _refusal(_file(tmp_path, "a.tif", data), reading)


def test_raw_camera_file(tmp_path, picture, encoded, reading):
    for tags in ({50706: b"\x01\x04\0\0"}, {254: 1}):
        data = encoded(picture, "TIFF", tiffinfo=tags)
        assert "is a raw camera file" in _refusal(_file(tmp_path, "a.dng", data), reading)


def test_floating_point(tmp_path, encoded, reading):
    data = encoded(Image.fromarray(np.ones((8, 8), np.float32)), "TIFF")
    line = _refusal(_file(tmp_path, "a.tif", data), reading)
    assert "holds values of an unusual kind (F)" in line


@pytest.mark.parametrize(
    ("width", "height", "found"),
    [
        (20000, 15000, "far more than the 64 megapixels"),
        (12000, 9000, "has 108 megapixels, more than the 64 that are read"),
        (31000, 10, "is 31000 pixels long, more than the 30000 that are read"),
    ],
)
def test_too_many_pixels_are_refused_from_the_header(tmp_path, width, height, found, reading):
    path = _file(tmp_path, "big.png", _png(width, height))
    tracemalloc.start()
    line = _refusal(path, reading)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert found in line
    assert peak < 5_000_000


def test_large_jpeg_is_refused_from_the_header(tmp_path, picture, encoded, reading):
    data = bytearray(encoded(picture, "JPEG"))
    size_at = data.index(b"\xff\xc0") + 5
    data[size_at : size_at + 4] = struct.pack(">HH", 9000, 12000)
    assert "has 108 megapixels" in _refusal(_file(tmp_path, "big.jpg", bytes(data)), reading)


def test_bomb_in_a_comment(tmp_path, reading):
    body = b"note\0\0" + zlib.compress(b"\0" * 50_000_000, 9)
    text = struct.pack(">I", len(body)) + b"zTXt" + body
    text += struct.pack(">I", zlib.crc32(b"zTXt" + body))
    path = _file(tmp_path, "bomb.png", _png(8, 8, extra=text))
    tracemalloc.start()
    line = _refusal(path, reading)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert "is damaged or cut short" in line
    assert peak < 5_000_000


def test_large_file_is_not_loaded(tmp_path, reading):
    path = tmp_path / "large.tif"
    with path.open("wb") as file:
        file.truncate(400_000_000)
    tracemalloc.start()
    line = _refusal(path, reading)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert "has 400 MB, more than the 150 MB that are read" in line
    assert peak < 1_000_000


def test_large_upload(picture, encoded, reading):
    tight = dataclasses.replace(reading, largest_file_mb=0.0001)
    with pytest.raises(PhotoError, match=r"up\.png: has 0 MB, more than the 0\.0001 MB"):
        decode_photo(encoded(picture, "PNG"), file="up.png", thresholds=tight)
