"""A file that is taken in is a photo, known by its digest, with a small copy to show."""

from __future__ import annotations

import hashlib
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from spikecheck.bench_check import take_photo
from spikecheck.errors import PhotoError
from spikecheck.thresholds import load_thresholds


def png_of(rows: int, columns: int) -> bytes:
    file = BytesIO()
    Image.fromarray(np.full((rows, columns, 3), 90, np.uint8)).save(file, "PNG")
    return file.getvalue()


@pytest.mark.parametrize(
    ("rows", "columns"), [(3000, 400), (400, 3000), (3000, 20), (20, 3000), (5, 5)]
)
def test_a_preview_is_small_and_keeps_the_shape(rows: int, columns: int):
    taken = take_photo(png_of(rows, columns), file="a.png", thresholds=load_thresholds())
    preview = Image.open(BytesIO(taken.preview))
    assert preview.format == "JPEG"
    assert max(preview.size) == min(480, max(rows, columns))
    scale = max(preview.size) / max(rows, columns)
    np.testing.assert_allclose(preview.size, (columns * scale, rows * scale), atol=1)


def test_the_bytes_stay_as_they_came_and_are_known_by_their_digest():
    data = png_of(30, 20)
    taken = take_photo(data, file="a.png", thresholds=load_thresholds())
    assert (taken.file, taken.data) == ("a.png", data)
    assert taken.sha256 == hashlib.sha256(data).hexdigest()


@pytest.mark.parametrize("data", [b"", b"no picture"])
def test_what_is_no_photo_is_refused_by_its_name(data: bytes):
    with pytest.raises(PhotoError, match=r"broken\.jpg"):
        take_photo(data, file="broken.jpg", thresholds=load_thresholds())
