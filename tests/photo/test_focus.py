"""Blur of a spike, tile by tile, in millimetres."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.photo.focus import edge_scales, measure_focus
from spikecheck.photo.patch import cut_patch
from spikecheck.vocabulary import Photo

SHARP_PX = 0.6


@pytest.fixture(scope="session")
def focus_of(found, quality):
    def measure(pixels, px_per_mm=25.0):
        findings = found(pixels, px_per_mm=px_per_mm)
        photo = Photo("a", "0" * 64, np.ascontiguousarray(pixels))
        patch = cut_patch(photo, findings.spike, px_per_mm=px_per_mm, tile_length_mm=5)
        return measure_focus(patch, edge_scales(patch), thresholds=quality)

    return measure


def _blurred(pixels, sigma_px):
    return cv2.GaussianBlur(pixels, (0, 0), sigma_px)


@given(sigma_mm=st.floats(0.06, 0.35), seed=st.integers(0, 5))
@settings(max_examples=12, deadline=None)
def test_the_blur_put_in_comes_out(sigma_mm, seed, leafy, focus_of):
    pixels = _blurred(leafy(750, 300, seed=seed, size_px=45), sigma_mm * 25)
    focus = focus_of(pixels)
    assert focus.sigma_mm == pytest.approx(sigma_mm, rel=0.25)
    assert focus.sigma_px == pytest.approx(25 * focus.sigma_mm)
    assert focus.mtf50_cycles_per_px == pytest.approx(0.1874 / focus.sigma_px, rel=1e-3)


def test_a_sharp_picture(leafy, focus_of):
    focus = focus_of(_blurred(leafy(750, 300), SHARP_PX))
    assert focus.sigma_mm < 0.05
    assert focus.blurred_share == 0
    assert focus.unmeasured_share == 0
    assert focus.mtf50_cycles_per_px > 0.15


def test_only_the_blurred_part_is_told(leafy, focus_of):
    """The upper 30 %, towards the tip, is out of focus."""
    sharp = _blurred(leafy(1000, 300), SHARP_PX)
    mixed = sharp.copy()
    mixed[:300] = _blurred(sharp, 6)[:300]
    focus = focus_of(mixed)
    assert focus.blurred_share == pytest.approx(0.3, abs=0.1)
    along = focus.tile_sigma_mm.reshape(-1, 2).max(axis=1)
    assert (along[:5] < 0.11).all()  # tiles run from the base, below, to the tip
    assert (along[-2:] > 0.15).all()


def test_left_and_right_are_told_apart(leafy, focus_of):
    sharp = _blurred(leafy(750, 400), SHARP_PX)
    mixed = sharp.copy()
    mixed[:, 200:] = _blurred(sharp, 6)[:, 200:]
    left, right = focus_of(mixed).tile_sigma_mm.reshape(-1, 2).T
    assert np.median(left) < 0.06
    assert np.median(right) > 0.15


@pytest.mark.parametrize("enlarged", [1.6, 2.0])
def test_millimetres_do_not_depend_on_the_resolution(enlarged, leafy, focus_of):
    pixels = _blurred(leafy(750, 300, size_px=45), 4)
    large = cv2.resize(pixels, None, fx=enlarged, fy=enlarged, interpolation=cv2.INTER_CUBIC)
    small_mm, large_mm = focus_of(pixels).sigma_mm, focus_of(large, 25 * enlarged).sigma_mm
    assert large_mm == pytest.approx(small_mm, rel=0.12)


def test_an_empty_picture_has_no_answer(focus_of):
    assert focus_of(np.full((750, 300, 3), 120, np.uint8)) is None


@pytest.mark.parametrize("coding", [None, 60, 85])
@pytest.mark.parametrize("noise", [0, 2, 5])
def test_blur_beyond_recognition_never_looks_sharp(noise, coding, leafy, focus_of):
    """Noise and JPEG blocks are sharp: they must not be taken for a sharp spike."""
    pixels = _blurred(leafy(750, 300), 30).astype(float)
    pixels += np.random.default_rng(7).normal(0, noise, pixels.shape[:2])[..., np.newaxis]
    pixels = np.clip(pixels, 0, 255).astype(np.uint8)
    if coding is not None:
        _, data = cv2.imencode(".jpg", pixels, [cv2.IMWRITE_JPEG_QUALITY, coding])
        pixels = cv2.imdecode(data, cv2.IMREAD_COLOR)
    focus = focus_of(pixels)
    assert focus is None or focus.blurred_share + focus.unmeasured_share > 0.8
