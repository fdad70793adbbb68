"""All eight EXIF orientations, against Pillow's own transposition."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageOps

from spikecheck.photo import decode_photo
from spikecheck.photo.pixels import turned_upright

ORIENTATION = 0x0112
shapes = st.tuples(st.integers(1, 7), st.integers(1, 7))


@given(orientation=st.integers(1, 8), shape=shapes, seed=st.integers(0, 99))
@settings(max_examples=60, deadline=None)
def test_turns_as_the_reference_library_does(orientation, shape, seed):
    pixels = np.random.default_rng(seed).integers(0, 256, (*shape, 3), np.uint8)
    image = Image.fromarray(pixels)
    image.getexif()[ORIENTATION] = orientation
    expected = np.asarray(ImageOps.exif_transpose(image))
    np.testing.assert_array_equal(turned_upright(pixels, orientation), expected)


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF", "HEIF", "MPO"])
def test_every_format_comes_out_upright_once(kind, orientation, picture, encoded, reading):
    """TIFF and HEIC decoders turn by themselves: nothing may be turned twice."""
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    quality = {} if kind in {"PNG", "TIFF"} else {"quality": 95}
    data = encoded(picture, kind, exif=exif.tobytes(), **quality)
    photo = decode_photo(data, file="a.jpg", thresholds=reading)
    tagged = picture.copy()
    tagged.getexif()[ORIENTATION] = orientation
    expected = np.asarray(ImageOps.exif_transpose(tagged)).astype(int)
    assert photo.pixels.shape == expected.shape
    rows, columns = expected.shape[:2]
    inner = [(r * rows // 4, c * columns // 4) for r in (1, 3) for c in (1, 3)]
    for place in inner:
        assert np.abs(photo.pixels[place] - expected[place]).max() <= 12


@pytest.mark.parametrize("orientation", [0, 9, 255, 65535])
def test_an_orientation_that_does_not_exist_changes_nothing(orientation, picture, encoded, reading):
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    data = encoded(picture, "PNG", exif=exif)
    photo = decode_photo(data, file="a.png", thresholds=reading)
    np.testing.assert_array_equal(photo.pixels, np.asarray(picture))
