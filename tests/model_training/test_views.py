"""Views of photos: what stands upright, where a place of the photo lands."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.model_training.views import drawn_view, florets_view, overview_view
from spikecheck.vocabulary import PhotoTruth, Point, QualityProblem


def truth(**more):
    entry = {"image": "a.jpg", "width": 400, "height": 300, "anthers": (), "px_per_mm": 10.0}
    return PhotoTruth(**{**entry, **more})


@given(st.floats(-math.pi, math.pi), st.floats(5, 60))
def test_the_spike_stands_upright_with_its_tip_up_at_a_kept_scale(angle, scale):
    base = np.array([150.0, 200.0])
    tip = base + 100 * np.array([-math.cos(angle), math.sin(angle)])
    view = florets_view(truth(axis=(Point(*base), Point(*tip)), px_per_mm=scale))
    low, high = view.place(np.stack([base, tip]))
    assert low[1] == pytest.approx(high[1], abs=1e-6)
    assert low[0] - high[0] == pytest.approx(100 * view.zoom)
    assert view.px_per_mm == pytest.approx(scale * view.zoom)
    assert view.px_per_mm <= 21.6 + 1e-9
    assert view.zoom == pytest.approx(min(1, 21.6 / scale))
    # 7 mm beyond both ends, 14 mm to both sides, up to rounding to whole pixels
    assert high[0] == pytest.approx(7 * view.px_per_mm)
    assert view.rows == pytest.approx(100 * view.zoom + 14 * view.px_per_mm, abs=1)
    assert view.columns == pytest.approx(28 * view.px_per_mm, abs=1)


def test_a_dot_of_the_photo_is_drawn_where_its_place_says():
    pixels = np.zeros((300, 400, 3), np.uint8)
    classes = np.zeros((300, 400), np.uint8)
    pixels[96:105, 246:255] = (250, 0, 0)
    classes[96:105, 246:255] = 4
    view = florets_view(truth(axis=(Point(200, 180), Point(80, 280)), px_per_mm=30.0))
    drawn = drawn_view(pixels, classes, view)
    assert drawn.shape == (view.rows, view.columns, 4)
    wanted = view.place(np.array([100.0, 250.0]))
    for channel, least in ((0, 125), (3, 4)):
        found = np.argwhere(drawn[..., channel] >= least).mean(axis=0)
        assert found == pytest.approx(wanted, abs=0.5)


def test_beyond_the_photo_its_edge_goes_on_as_background():
    pixels = np.full((300, 400, 3), 77, np.uint8)
    view = florets_view(truth(axis=(Point(290, 200), Point(10, 200))))
    drawn = drawn_view(pixels, np.full((300, 400), 1, np.uint8), view)
    assert (drawn[..., :3] == 77).all()
    assert drawn[0, 0, 3] == 0
    assert drawn[view.rows // 2, view.columns // 2, 3] == 1


def test_the_overview_is_reduced_to_640_px_and_never_enlarged():
    large = overview_view(truth(width=4000, height=3000))
    assert (large.rows, large.columns) == (480, 640)
    assert large.px_per_mm == pytest.approx(1.6)
    # pixel centres: the corner of the photo is the corner of the view
    assert large.place(np.array([-0.5, -0.5])) == pytest.approx([-0.5, -0.5])
    small = overview_view(truth())
    assert (small.rows, small.columns, small.zoom) == (300, 400, 1.0)


def test_a_photo_without_a_spike_counts_as_at_the_working_scale_and_one_without_scale_as_none():
    assert florets_view(truth(px_per_mm=None)) is None
    empty = truth(px_per_mm=None, problems=(QualityProblem.NO_SPIKE,), width=4000, height=3000)
    assert florets_view(empty).px_per_mm == 20.0
    assert florets_view(empty).columns == 1400
