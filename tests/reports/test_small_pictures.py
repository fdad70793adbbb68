"""Small pictures of overlays, bounded in size."""

from __future__ import annotations

import io

import numpy as np
from PIL import Image

from spikecheck.reports import small_pictures
from spikecheck.reports.gathering import gather_session
from spikecheck.reports.small_pictures import make_small_pictures, shrunk
from tests.reports.conftest import MADE, SESSION, ZONE


def noise(width, height):
    pixels = np.random.default_rng(3).integers(0, 255, (height, width, 3), np.uint8)
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, "JPEG", quality=95)
    return file.getvalue()


def test_the_largest_picture_that_fits_is_taken():
    """Noise takes more bytes than any photo of the same size."""
    content = noise(900, 1800)
    large, width, height = shrunk(content, most_bytes=60_000)
    small, narrow, low = shrunk(content, most_bytes=8_000)
    assert len(large) <= 60_000
    assert len(small) <= 8_000
    assert (height > low, width > narrow) == (True, True)
    assert abs(height / width - 2) < 0.05
    assert Image.open(io.BytesIO(small)).size == (narrow, low)


def test_what_is_no_picture_or_never_fits_is_empty():
    assert shrunk(b"no picture", most_bytes=8_000) == (b"", 0, 0)
    assert shrunk(noise(400, 400), most_bytes=100) == (b"", 0, 0)


def test_a_damaged_overlay_is_told_and_the_report_made(session, report_of, tmp_path):
    facts = gather_session(session, SESSION, made_at=MADE, made_by="", zone=ZONE)
    first = facts.latest_checks["C-1", 1].photos[0].overlay_sha256
    (stored,) = [path for path in (tmp_path / "records").rglob("*") if first in path.name]
    stored.write_bytes(b"damaged")
    pictures = make_small_pictures(session, facts).pictures
    assert [bool(one.jpeg) for one in pictures].count(False) == 10  # one file, content-addressed
    assert "the picture is missing or damaged" in str(report_of(session))


def test_beyond_the_most_pictures_the_rest_is_told(session, report_of, monkeypatch):
    monkeypatch.setattr(small_pictures, "PICTURES_MOST", 4)
    facts = gather_session(session, SESSION, made_at=MADE, made_by="", zone=ZONE)
    pictures = make_small_pictures(session, facts)
    assert (len(pictures.pictures), pictures.left_out) == (4, 6)
    assert "6 more pictures have no room in this report" in str(report_of(session))


def test_all_together_never_take_more_than_allowed(session, monkeypatch):
    monkeypatch.setattr(small_pictures, "ALL_BYTES_MOST", 12_000)
    facts = gather_session(session, SESSION, made_at=MADE, made_by="", zone=ZONE)
    pictures = make_small_pictures(session, facts).pictures
    assert sum(len(one.jpeg) for one in pictures) <= 12_000
    assert all(one.jpeg for one in pictures)
