"""When the photo was taken, and EXIF that cannot be trusted."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import numpy as np
import pytest
from PIL import Image

from spikecheck.photo import decode_photo

TAKEN, OFFSET = 0x9003, 0x9011


def _taken_at(picture, encoded, reading, kind="JPEG", **tags):
    exif = Image.Exif()
    exif[0x0112] = 1
    for tag, value in tags.items():
        exif.get_ifd(0x8769)[{"taken": TAKEN, "offset": OFFSET}[tag]] = value
    data = encoded(picture, kind, exif=exif.tobytes())
    return decode_photo(data, file="a", thresholds=reading).taken_at


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF", "HEIF"])
def test_with_an_offset(kind, picture, encoded, reading):
    taken = _taken_at(picture, encoded, reading, kind, taken="2026:05:14 16:20:05", offset="+05:30")
    zone = timezone(timedelta(hours=5, minutes=30))
    assert taken == datetime(2026, 5, 14, 16, 20, 5, tzinfo=zone)
    assert taken.isoformat() == "2026-05-14T16:20:05+05:30"


def test_west_of_greenwich(picture, encoded, reading):
    taken = _taken_at(picture, encoded, reading, taken="2026:05:14 16:20:05", offset="-03:30")
    assert taken.astimezone(UTC).isoformat() == "2026-05-14T19:50:05+00:00"


@pytest.mark.parametrize("offset", [None, "", "   ", "+5", "Z", "+aa:bb", "+99:00", "05:30:00"])
def test_without_an_understood_offset_it_is_naive(offset, picture, encoded, reading):
    tags = {} if offset is None else {"offset": offset}
    taken = _taken_at(picture, encoded, reading, taken="2026:05:14 16:20:05", **tags)
    assert taken == datetime(2026, 5, 14, 16, 20, 5)  # noqa: DTZ001
    assert taken.tzinfo is None


@pytest.mark.parametrize(
    "text", ["0000:00:00 00:00:00", "    :  :     :  :  ", "", "yesterday", "2026:13:40 25:61:00"]
)
def test_a_date_that_does_not_exist_is_none(text, picture, encoded, reading):
    assert _taken_at(picture, encoded, reading, taken=text) is None


def test_trailing_nul(picture, encoded, reading):
    assert _taken_at(picture, encoded, reading, taken="2026:05:14 16:20:05\0\0") is not None


def test_no_exif(picture, encoded, reading):
    assert decode_photo(encoded(picture, "JPEG"), file="a", thresholds=reading).taken_at is None


@pytest.mark.parametrize(
    "rubbish",
    [
        b"Exif\0\0",
        b"Exif\0\0II*\0\xff\xff\xff\xff",
        b"Exif\0\0MM\0*\0\0\0\x08\xff\xff" + b"\x87\x69\0\x04\0\0\0\x01\0\0\0\x08" * 3,
        b"Exif\0\0II*\0\x08\0\0\0\x01\0\x12\x01\x02\0\x04\0\0\0abcd\0\0\0\0",
        b"Exif\0\0II*\0\x08\0\0\0\x01\0\x69\x87\x04\0\x01\0\0\0\xff\xff\xff\x7f\0\0\0\0",
        b"Exif\0\0" + bytes(range(256)) * 8,
    ],
)
def test_rubbish_in_place_of_exif_is_left_out(rubbish, picture, encoded, reading):
    clean = decode_photo(encoded(picture, "JPEG"), file="a", thresholds=reading)
    photo = decode_photo(encoded(picture, "JPEG", exif=rubbish), file="a", thresholds=reading)
    np.testing.assert_array_equal(photo.pixels, clean.pixels)
    assert photo.taken_at is None
