"""Reading a spike: a drawn image with its truth, turned, and bodies that are no spike."""

from __future__ import annotations

from functools import cache

import cv2
import numpy as np
import pytest

from spikecheck.photo import read_photo
from spikecheck.segmentation.read_spike import read_spike
from spikecheck.thresholds import load_thresholds
from spikecheck.thresholds.scores import load_score
from spikecheck.vocabulary import Photo, ScaleSource, read_truth
from tests.drawn_images import drawn_image
from tests.segmentation.test_locate import drawn, photo_of

THRESHOLDS = load_thresholds()


@cache
def image():
    return drawn_image("clean", 103)


@cache
def truth():
    return read_truth(image().with_suffix(".json"))


def read(photo: Photo):
    return read_spike(
        photo,
        score=load_score("opening_score"),
        thresholds=THRESHOLDS.segmentation,
        colour=THRESHOLDS.colour,
    )


@cache
def drawn_photo() -> Photo:
    return read_photo(image(), thresholds=THRESHOLDS.reading)


@cache
def drawn_reading():
    return read(drawn_photo())


def distances_px(points, others) -> np.ndarray:
    one = np.array([(p.row, p.column) for p in points])
    two = np.array([(p.row, p.column) for p in others])
    return np.linalg.norm(one[:, None] - two[None], axis=2)


def test_the_axis_runs_from_the_true_base_to_the_true_tip():
    axis, true = drawn_reading().spike.axis, truth().axis
    reach = 4 * truth().px_per_mm
    for end in (0, -1):
        assert np.hypot(axis[end, 0] - true[end].row, axis[end, 1] - true[end].column) < reach


def test_the_scale_holds_the_true_one():
    scale = drawn_reading().scale
    assert scale.source is ScaleSource.ESTIMATE
    assert scale.low < truth().px_per_mm < scale.high


def test_most_open_florets_are_found_where_they_are_and_on_their_side():
    true = [f for f in truth().florets if f.clipped and f.cavity_visible > 0.5]
    found = drawn_reading().florets
    distance = distances_px([f.centre for f in true], [f.centre for f in found])
    nearest = distance.argmin(axis=1)
    near = distance.min(axis=1) < 1.0 * truth().px_per_mm
    assert near.mean() > 0.7
    same = [found[i].side is f.side for f, i, ok in zip(true, nearest, near, strict=True) if ok]
    assert np.mean(same) > 0.8


def test_florets_places_and_rims_belong_together():
    reading = drawn_reading()
    assert len(reading.florets) == len(reading.places)
    for floret, place in zip(reading.florets, reading.places, strict=True):
        assert reading.located.strip.photo_point(place.row, place.column) == floret.centre
    sure = [p for p in reading.places if p.cavity_seen > 0]
    assert len(sure) >= THRESHOLDS.segmentation.openings_least
    assert all(reading.openings[round(p.row), round(p.column)] for p in sure)
    assert 0 <= reading.unexplained < 0.5


def test_a_turned_photo_reads_the_same():
    photo = drawn_photo()
    turned = read(Photo(photo.file, photo.sha256, np.ascontiguousarray(np.rot90(photo.pixels))))
    straight = drawn_reading()
    assert turned.scale.px_per_mm == pytest.approx(straight.scale.px_per_mm, rel=0.08)
    centres = np.array([(f.centre.row, f.centre.column) for f in straight.florets])
    expected = np.stack([photo.width - 1 - centres[:, 1], centres[:, 0]], axis=1)
    found = np.array([(f.centre.row, f.centre.column) for f in turned.florets])
    nearest = np.linalg.norm(expected[:, None] - found[None], axis=2).min(axis=1)
    assert (nearest < 1.0 * truth().px_per_mm).mean() > 0.7


def test_a_smooth_body_is_no_spike():
    """A leaf-like body, sharp, without openings and without rows of spikelets."""
    assert read(photo_of(drawn())) is None


def test_a_body_too_small_or_too_blurred_to_read_is_reported_without_florets():
    tiny = photo_of(drawn(length=420.0, width=80.0))
    sharp = photo_of(drawn(length=900.0, width=190.0))
    blurred = Photo("drawn.png", "0" * 64, cv2.GaussianBlur(sharp.pixels, (0, 0), 9.0))
    for photo in (tiny, blurred):
        reading = read(photo)
        assert reading.florets == ()
        assert reading.unexplained == 1
        assert not reading.openings.any()
        width_mm = reading.located.width_px / reading.scale.px_per_mm
        assert width_mm == pytest.approx(THRESHOLDS.segmentation.spike_width_mm)


def test_rows_of_spikelets_without_an_opening_are_florets_not_clipped():
    """Light and dark in turn every 150 px, the two sides by halves."""
    photo = photo_of(drawn(length=1000.0, width=200.0))
    rows, columns = np.mgrid[:1600, :1200]
    wave = np.cos(2 * np.pi * rows / 150 + np.pi * (columns > 600))
    shaded = photo.pixels * (1 + 0.25 * wave[..., None])
    reading = read(Photo("drawn.png", "0" * 64, np.clip(shaded, 0, 255).astype(np.uint8)))
    assert reading.florets
    assert not any(floret.clipped or floret.cavity_seen for floret in reading.florets)
    spacing_mm = 150 / reading.scale.px_per_mm
    assert spacing_mm == pytest.approx(THRESHOLDS.segmentation.same_side_spacing_mm, rel=0.04)


def test_a_card_holds_nothing():
    assert read(photo_of(np.zeros((300, 200), dtype=bool))) is None
    assert read(Photo("drawn.png", "0" * 64, np.full((20, 20, 3), 90, np.uint8))) is None
