"""Growing and shrinking of masks against scikit-image's on round and thin shapes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from skimage.morphology import disk

from spikecheck.imaging.morphology import closed, depth_px, dilated, disc, eroded, opened
from spikecheck.imaging.top_hat import top_hat

ROWS, COLUMNS = np.mgrid[:80, :80]


def round_mask(radius: float) -> np.ndarray:
    return np.hypot(ROWS - 40, COLUMNS - 40) <= radius


@given(radius=st.floats(12, 24), by=st.floats(1, 10))
@settings(max_examples=30, deadline=None)
def test_a_disc_grows_and_shrinks_by_the_radius(radius, by):
    mask = round_mask(radius)
    for changed, wanted in ((dilated(mask, by), radius + by), (eroded(mask, by), radius - by)):
        assert np.sqrt(changed.sum() / np.pi) == pytest.approx(wanted, abs=0.8)


def test_opening_drops_what_is_thin_and_keeps_what_is_thick():
    mask = round_mask(20)
    thin = np.zeros_like(mask)
    thin[39:42] = True
    left = opened(mask | thin, 4)
    assert np.array_equal(left & ~round_mask(22), np.zeros_like(mask))
    assert (left & mask).sum() > 0.97 * mask.sum()


def test_closing_fills_a_gap_and_no_more():
    mask = np.zeros((80, 80), dtype=bool)
    mask[20:36, 20:60] = mask[42:60, 20:60] = True
    filled = closed(mask, 4)
    assert filled[20:60, 30:50].all()
    assert not filled[:18].any()
    assert not closed(mask, 2)[38:40].any()


def test_the_edge_of_the_picture_is_no_edge_of_the_mask():
    mask = np.zeros((40, 40), dtype=bool)
    mask[:20] = True
    assert np.array_equal(eroded(mask, 5), ROWS[:40, :40] < 15)


def test_nothing_grows_from_nothing():
    assert not dilated(np.zeros((10, 300), dtype=bool), 200).any()
    assert depth_px(np.ones((10, 300), dtype=bool)).min() > 300


@pytest.mark.parametrize("diameter", [1, 12, 20, 33])
def test_the_disc_is_round(diameter):
    element = disc(diameter)
    radius = max(1, round(diameter / 2))
    assert element.shape == (2 * radius + 1, 2 * radius + 1)
    assert np.array_equal(element, element[::-1, ::-1])
    assert abs(int(element.sum()) - int(disk(radius).sum())) <= 0.15 * disk(radius).sum()


@pytest.mark.parametrize("diameter", [6, 14, 34])
def test_the_top_hat_is_the_one_of_opencv(diameter):
    import cv2

    picture = np.random.default_rng(3).random((90, 70)).astype(np.float32)
    expected = cv2.morphologyEx(picture, cv2.MORPH_TOPHAT, disc(diameter))
    assert top_hat(picture, diameter_px=diameter) == pytest.approx(expected, abs=1e-6)
