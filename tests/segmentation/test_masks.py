"""Masks: plant tissue by colour, detail by sharpness, rims and the outline in the strip."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from spikecheck.imaging.colour import lab_from_srgb
from spikecheck.segmentation.plant_mask import detail_mask, plant_mask
from spikecheck.segmentation.strip_masks import rims_mask
from spikecheck.thresholds import load_thresholds

THRESHOLDS = load_thresholds()


@pytest.mark.parametrize(
    ("rgb", "plant", "green"),
    [
        ((87, 108, 67), True, True),  # foliage of the 24-patch chart
        ((157, 188, 64), True, True),  # yellow green of the same
        ((196, 178, 110), True, False),  # straw
        ((200, 200, 200), False, False),  # card
        ((194, 150, 130), False, False),  # light skin of the chart
        ((98, 122, 157), False, False),  # blue sky of the chart
        ((110, 75, 45), False, False),  # wood
    ],
)  # chart: X-Rite ColorChecker, sRGB values as commonly given (from memory)
def test_plant_tissue_is_told_by_its_colour(rgb, plant, green):
    lab = lab_from_srgb(np.full((4, 4, 3), rgb, np.uint8))
    assert plant_mask(lab, thresholds=THRESHOLDS.colour).all() == plant
    assert plant_mask(lab, thresholds=THRESHOLDS.colour, strict=True).all() == green


def textured(blur_left: float, blur_right: float) -> np.ndarray:
    """A fine pattern, blurred by halves."""
    lab = np.zeros((200, 200, 3), np.float32)
    pattern = np.random.default_rng(4).normal(50, 15, (200, 200)).astype(np.float32)
    for half, sigma in ((np.s_[:, :100], blur_left), (np.s_[:, 100:], blur_right)):
        lab[..., 0][half] = cv2.GaussianBlur(pattern, (0, 0), sigma)[half]
    return lab


def test_what_is_in_focus_shows_detail_and_a_blurred_background_does_not():
    detail = detail_mask(textured(0.7, 8.0), thresholds=THRESHOLDS.segmentation)
    assert detail[:, :90].mean() > 0.95
    assert detail[:, 115:].mean() < 0.05


def test_where_nothing_is_in_focus_the_least_blurred_is_marked():
    detail = detail_mask(textured(1.8, 12.0), thresholds=THRESHOLDS.segmentation)
    assert detail[:, :90].mean() > 0.9
    assert detail[:, 115:].mean() < 0.05


def test_an_even_picture_shows_no_detail():
    flat = np.full((100, 100, 3), 50, np.float32)
    assert not detail_mask(flat, thresholds=THRESHOLDS.segmentation).any()


def test_the_inside_of_rims_is_filled():
    angle = np.linspace(0, 2 * np.pi, 32, endpoint=False)
    circle = np.stack([60 + 20 * np.sin(angle), 80 + 20 * np.cos(angle)], axis=1)
    square = np.array([(5, 5), (5, 15), (15, 15), (15, 5)])
    mask = rims_mask([circle.astype(np.float32), square.astype(np.float32)], (120, 160, 3))
    assert mask.shape == (120, 160)
    assert mask.sum() == pytest.approx(np.pi * 20**2 + 11**2, rel=0.06)
    assert mask[60, 80]
    assert mask[5:16, 5:16].all()
    assert not mask[10, 30]


def test_no_rims_fill_nothing():
    assert not rims_mask([], (10, 10)).any()
