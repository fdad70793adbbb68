"""Whatever the pixels are, the finder answers: a bad photo is a finding, not an error."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.pipeline import check_photos
from spikecheck.pipeline.finders import default_finder
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import Photo, Verdict

THRESHOLDS = load_thresholds()
FINDER = default_finder(THRESHOLDS)


def checked(pixels: np.ndarray):
    photo = Photo("drawn.png", "0" * 64, np.ascontiguousarray(pixels))
    return check_photos([photo], finder=FINDER, thresholds=THRESHOLDS)


@pytest.mark.parametrize("shape", [(1, 1), (1, 700), (700, 1), (2, 3), (5, 900), (40, 40)])
@pytest.mark.parametrize("level", [0, 90, 255])
def test_tiny_and_flat_pictures_are_reviewed(shape, level):
    assert checked(np.full((*shape, 3), level, np.uint8)).verdict is Verdict.REVIEW


@given(
    seed=st.integers(0, 2**32 - 1),
    height=st.integers(1, 1200),
    width=st.integers(1, 900),
    blobs=st.integers(0, 8),
)
@settings(max_examples=40, deadline=None)
def test_noise_and_green_shapes_are_reviewed(seed, height, width, blobs):
    rng = np.random.default_rng(seed)
    pixels = np.clip(rng.normal(rng.integers(0, 256), 20, (height, width, 3)), 0, 255)
    pixels = pixels.astype(np.uint8)
    for _ in range(blobs):
        centre = (int(rng.integers(0, width)), int(rng.integers(0, height)))
        axes = (int(rng.integers(1, width + 1)), int(rng.integers(1, height + 1)))
        green = tuple(int(v) for v in rng.integers((40, 90, 20), (140, 220, 90)))
        cv2.ellipse(pixels, centre, axes, float(rng.uniform(0, 180)), 0, 360, green, -1)
    assert checked(pixels).verdict is Verdict.REVIEW
