"""Every kind of file and of pixels that is read."""

from __future__ import annotations

import hashlib
from io import BytesIO

import numpy as np
import pytest
from PIL import Image
from pillow_heif import HeifFile

from spikecheck.photo import PHOTO_SUFFIXES, decode_photo, read_photo

LOSSY = {"JPEG": 12, "HEIF": 12, "WEBP": 12}  # steps of 255, at the encoders' best quality


def _decoded(data, reading):
    return decode_photo(data, file="spike.jpg", thresholds=reading)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF", "HEIF", "MPO"])
def test_each_format_gives_back_its_pixels(kind, picture, encoded, reading):
    options = {"quality": 95} if kind in {"JPEG", "HEIF", "MPO"} else {}
    if kind == "WEBP":
        options = {"lossless": True}
    photo = _decoded(encoded(picture, kind, **options), reading)
    corners = [(5, 8), (5, 32), (18, 8), (18, 32)]
    for place in corners:
        step = np.abs(photo.pixels[place].astype(int) - picture.getpixel(place[::-1]))
        assert step.max() <= LOSSY.get("JPEG" if kind == "MPO" else kind, 0)


def test_lossless_formats_are_read_exactly(picture, encoded, reading):
    for kind in ("PNG", "TIFF"):
        np.testing.assert_array_equal(
            _decoded(encoded(picture, kind), reading).pixels, np.asarray(picture)
        )


def test_a_photo_taller_than_one_band_is_whole(reading, encoded):
    pixels = np.random.default_rng(1).integers(0, 256, (777, 31, 3), np.uint8)
    photo = _decoded(encoded(Image.fromarray(pixels), "PNG"), reading)
    np.testing.assert_array_equal(photo.pixels, pixels)


def test_the_record_keeps_name_digest_and_size(tmp_path, picture, encoded, reading):
    path = tmp_path / "spike 1.png"
    path.write_bytes(encoded(picture, "PNG"))
    photo = read_photo(path, thresholds=reading)
    assert photo.file == str(path)
    assert photo.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    assert (photo.height, photo.width) == (24, 40)
    assert photo.taken_at is None


def test_content_decides_not_the_ending(tmp_path, picture, encoded, reading):
    path = tmp_path / "really_a_png.jpg"
    path.write_bytes(encoded(picture, "PNG"))
    np.testing.assert_array_equal(read_photo(path, thresholds=reading).pixels, np.asarray(picture))


def test_grey_becomes_three_equal_channels(reading, encoded):
    grey = Image.linear_gradient("L")
    pixels = _decoded(encoded(grey, "PNG"), reading).pixels
    np.testing.assert_array_equal(pixels, np.asarray(grey)[..., np.newaxis].repeat(3, axis=2))


@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
def test_sixteen_bit_grey_keeps_the_upper_byte(kind, reading, encoded):
    values = np.arange(0, 65536, 64, dtype=np.uint16).reshape(32, 32)
    pixels = _decoded(encoded(Image.fromarray(values), kind), reading).pixels
    np.testing.assert_array_equal(pixels[..., 1], values >> 8)


def test_sixteen_bit_colour_keeps_the_upper_byte(reading):
    import cv2

    values = np.random.default_rng(2).integers(0, 65536, (20, 30, 3)).astype(np.uint16)
    for ending in (".png", ".tif"):
        _, data = cv2.imencode(ending, values[..., ::-1])
        np.testing.assert_array_equal(_decoded(data.tobytes(), reading).pixels, values >> 8)


def test_big_endian_sixteen_bit_grey(reading):
    values = np.linspace(0, 65535, 64).astype(">u2").reshape(8, 8)
    file = BytesIO()
    Image.frombytes("I;16B", (8, 8), values.tobytes()).save(file, "TIFF")
    pixels = _decoded(file.getvalue(), reading).pixels
    np.testing.assert_array_equal(pixels[..., 0], values >> 8)


@pytest.mark.parametrize(("alpha", "expected"), [(255, (200, 40, 40)), (0, (255, 255, 255))])
@pytest.mark.parametrize("kind", ["PNG", "WEBP", "TIFF"])
def test_transparent_parts_lie_on_white(alpha, expected, kind, reading, encoded):
    image = Image.new("RGBA", (9, 7), (200, 40, 40, alpha))
    options = {"lossless": True} if kind == "WEBP" else {}
    pixels = _decoded(encoded(image, kind, **options), reading).pixels
    assert (pixels == expected).all()


def test_half_transparent_grey_is_mixed_with_white(reading, encoded):
    pixels = _decoded(encoded(Image.new("LA", (5, 5), (100, 128)), "PNG"), reading).pixels
    assert np.abs(pixels.astype(int) - (100 * 128 + 255 * 127) / 255).max() <= 1


def test_palette_with_a_transparent_entry(reading, encoded):
    image = Image.new("P", (4, 4), 1)
    image.putpalette([0, 0, 0, 10, 200, 30])
    np.testing.assert_array_equal(
        _decoded(encoded(image, "PNG"), reading).pixels[0, 0], (10, 200, 30)
    )
    clear = _decoded(encoded(image, "PNG", transparency=1), reading).pixels
    assert (clear == 255).all()


def test_black_and_white(reading, encoded):
    image = Image.new("1", (8, 8), 1)
    assert (_decoded(encoded(image, "PNG"), reading).pixels == 255).all()


@pytest.mark.parametrize("kind", ["JPEG", "TIFF"])
def test_cmyk_without_a_profile(kind, reading, encoded):
    image = Image.new("CMYK", (16, 16), (0, 255, 255, 0))
    red, green, blue = _decoded(encoded(image, kind), reading).pixels[8, 8]
    assert red > 240
    assert green < 15
    assert blue < 15


def test_a_second_lens_beside_the_photo_is_left_out(picture, encoded, reading):
    other = Image.new("RGB", picture.size, "white")
    data = encoded(picture, "MPO", save_all=True, append_images=[other], quality=95)
    assert _decoded(data, reading).pixels[5, 8, 1] < 100


def test_heic_gives_its_primary_picture(picture, encoded, reading):
    other = Image.new("RGB", (64, 64), "white")
    data = encoded(other, "HEIF", save_all=True, append_images=[picture], primary_index=1)
    assert len(HeifFile(BytesIO(data))) == 2
    photo = _decoded(data, reading)
    assert (photo.width, photo.height) == picture.size
    assert photo.pixels[5, 8, 1] < 100


def test_a_tiff_thumbnail_page_is_left_out(picture, encoded, reading):
    small = picture.resize((10, 6))
    small.encoderinfo = {"tiffinfo": {254: 1}}
    data = encoded(picture, "TIFF", save_all=True, append_images=[small])
    np.testing.assert_array_equal(_decoded(data, reading).pixels, np.asarray(picture))


def test_suffixes_are_lower_case_endings():
    assert {".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", ".heic", ".heif"} <= PHOTO_SUFFIXES
    assert all(ending == ending.lower() and ending[0] == "." for ending in PHOTO_SUFFIXES)
