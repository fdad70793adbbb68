"""Damage anywhere gives a photo or a PhotoError, never anything else and never a warning."""

from __future__ import annotations

import os

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from spikecheck.errors import PhotoError
from spikecheck.photo import decode_photo
from spikecheck.vocabulary import Photo

KINDS = ("JPEG", "PNG", "WEBP", "TIFF", "HEIF", "MPO")
quick = settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@pytest.fixture(scope="session")
def whole(encoded) -> dict[str, bytes]:
    """One file a format, with EXIF, profile and enough pixels for several coded blocks."""
    from PIL import ImageCms

    noise = np.random.default_rng(3).integers(0, 256, (40, 56, 3), np.uint8)
    image = Image.fromarray(noise)
    exif = Image.Exif()
    exif[0x0112] = 6
    exif.get_ifd(0x8769)[0x9003] = "2026:05:14 16:20:05"
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    files = {kind: encoded(image, kind, exif=exif.tobytes(), icc_profile=profile) for kind in KINDS}
    files["TIFF LZW"] = encoded(image, "TIFF", compression="tiff_lzw")
    files["JPEG progressive"] = encoded(image, "JPEG", progressive=True)
    return files


def _photo_or_refusal(data, reading):
    try:
        photo = decode_photo(data, file="spike.jpg", thresholds=reading)
    except PhotoError as error:
        refusal = error
    else:
        refusal = None
    if refusal is not None:
        assert str(refusal).startswith("spike.jpg: ")
        assert refusal.cure
        return None
    assert isinstance(photo, Photo)
    return photo


@given(data=st.data())
@quick
def test_cut_short_anywhere(data, whole, reading):
    kind = data.draw(st.sampled_from(sorted(whole)))
    cut = data.draw(st.integers(0, len(whole[kind]) - 1))
    _photo_or_refusal(whole[kind][:cut], reading)


@given(data=st.data())
@quick
def test_bytes_changed_anywhere(data, whole, reading):
    kind = data.draw(st.sampled_from(sorted(whole)))
    damaged = bytearray(whole[kind])
    for _ in range(data.draw(st.integers(1, 8))):
        damaged[data.draw(st.integers(0, len(damaged) - 1))] = data.draw(st.integers(0, 255))
    _photo_or_refusal(bytes(damaged), reading)


@given(data=st.data())
@quick
def test_header_bytes_changed(data, whole, reading):
    """Headers are where decoders trust what they read."""
    kind = data.draw(st.sampled_from(sorted(whole)))
    damaged = bytearray(whole[kind])
    for _ in range(data.draw(st.integers(1, 4))):
        place = data.draw(st.integers(0, min(len(damaged), 300) - 1))
        damaged[place] = data.draw(st.integers(0, 255))
    _photo_or_refusal(bytes(damaged), reading)


@given(start=st.sampled_from([b"", b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"II*\0", b"MM\0*",
                              b"RIFF\x10\0\0\0WEBP", b"\0\0\0\x18ftypheic"]),
       rest=st.binary(max_size=200))  # fmt: skip
@quick
def test_rubbish_behind_a_good_start(start, rest, reading):
    _photo_or_refusal(start + rest, reading)


@pytest.mark.parametrize("kind", KINDS)
def test_half_a_file_is_refused_by_name(kind, whole, reading):
    half = whole[kind][: len(whole[kind]) // 2]
    with pytest.raises(PhotoError, match=r"^spike\.jpg: is damaged or cut short\. Copy"):
        decode_photo(half, file="spike.jpg", thresholds=reading)


def test_whole_files_are_read(whole, reading):
    for data in whole.values():
        assert _photo_or_refusal(data, reading) is not None


def test_bytes_after_the_end_are_ignored(whole, reading):
    """Phones append a short video or notes of their own to a JPEG."""
    photo = _photo_or_refusal(whole["JPEG"] + b"\0appended" * 1000, reading)
    np.testing.assert_array_equal(photo.pixels, _photo_or_refusal(whole["JPEG"], reading).pixels)


def test_a_damaged_tiff_leaves_the_terminal_clean(encoded, reading, capfd):
    """libtiff writes to the standard error by itself."""
    noise = np.random.default_rng(4).integers(0, 256, (40, 56, 3), np.uint8)
    data = bytearray(encoded(Image.fromarray(noise), "TIFF", compression="tiff_adobe_deflate"))
    data[2000:2040] = bytes(40)
    with pytest.raises(PhotoError, match="is damaged or cut short"):
        decode_photo(bytes(data), file="spike.tif", thresholds=reading)
    assert capfd.readouterr() == ("", "")
    os.write(2, b"heard again")
    assert capfd.readouterr().err == "heard again"
