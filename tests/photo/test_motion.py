"""Movement during the exposure, against movement of known length."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.photo.focus import edge_scales
from spikecheck.photo.motion import Motion, measure_motion
from spikecheck.photo.patch import cut_patch
from spikecheck.vocabulary import Photo


@pytest.fixture(scope="session")
def motion_of(found, quality):
    def measure(pixels, px_per_mm=25.0):
        findings = found(pixels, px_per_mm=px_per_mm)
        photo = Photo("a", "0" * 64, np.ascontiguousarray(pixels))
        patch = cut_patch(photo, findings.spike, px_per_mm=px_per_mm, tile_length_mm=5)
        return measure_motion(patch, edge_scales(patch), thresholds=quality)

    return measure


def smeared(pixels, length_px, radians):
    """Average of the picture shifted along a line, by parts of a pixel."""
    total = np.zeros(pixels.shape, np.float32)
    steps = np.linspace(-length_px / 2, length_px / 2, 25)
    for step in steps:
        shift = np.float32([[1, 0, step * np.cos(radians)], [0, 1, step * np.sin(radians)]])
        total += cv2.warpAffine(
            pixels.astype(np.float32), shift, pixels.shape[1::-1], borderMode=cv2.BORDER_REFLECT
        )
    return np.rint(total / len(steps)).astype(np.uint8)


@given(length_mm=st.floats(0.4, 0.9), radians=st.floats(0, 3.1), seed=st.integers(0, 3))
@settings(max_examples=10, deadline=None)
def test_the_length_put_in_comes_out(length_mm, radians, seed, leafy, motion_of):
    pixels = leafy(750, 300, seed=seed, size_px=45)
    motion = motion_of(smeared(pixels, length_mm * 25, radians))
    assert 0.6 < motion.smear_mm / length_mm < 1.45  # the module's own caveat, with room
    assert motion.ratio > 1.6


@pytest.mark.parametrize("sigma_mm", [0.02, 0.1, 0.2, 0.3])
def test_blur_alike_in_all_directions_is_no_movement(sigma_mm, leafy, motion_of, quality):
    pixels = cv2.GaussianBlur(leafy(750, 300, size_px=45), (0, 0), sigma_mm * 25)
    motion = motion_of(pixels)
    moved = motion.smear_mm > quality.largest_smear_mm and motion.ratio > quality.least_smear_ratio
    assert not moved


@pytest.mark.parametrize("turns", [1, 2, 3])
def test_turning_the_picture_changes_nothing(turns, leafy, motion_of):
    pixels = smeared(leafy(500, 500, size_px=45), 15, 0.4)
    straight, turned = motion_of(pixels), motion_of(np.rot90(pixels, turns))
    assert turned.smear_mm == pytest.approx(straight.smear_mm, rel=0.2)


def test_edges_of_one_direction_have_no_answer(motion_of):
    stripes = np.where(np.arange(300) // 15 % 2, 90, 160).astype(np.uint8)
    pixels = np.broadcast_to(stripes[np.newaxis, :, np.newaxis], (750, 300, 3))
    assert motion_of(pixels) is None


def test_the_ratio_stays_finite():
    assert Motion(0.0, 0.0, 0.0).ratio == 0
    assert Motion(0.5, 0.0, 0.2).ratio == pytest.approx(10)
    assert Motion(0.5, 0.1, 0.2).ratio == pytest.approx(2)
