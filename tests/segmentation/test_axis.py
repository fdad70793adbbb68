"""The axis: through the middle of a drawn body, from where its stem is to its tip."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.segmentation.axis import body_axis
from spikecheck.segmentation.body import find_bodies
from spikecheck.thresholds import load_thresholds
from tests.segmentation.drawing import spike_mask

LIMITS = load_thresholds().segmentation


def axis_of(plant: np.ndarray) -> np.ndarray:
    return body_axis(find_bodies(plant, thresholds=LIMITS)[0], plant, thresholds=LIMITS)


@given(direction=st.floats(0, 360), awns=st.booleans())
@settings(max_examples=15, deadline=None)
def test_the_base_is_where_the_stem_is(direction, awns):
    plant = spike_mask(size=(1100, 1100), centre=(550, 550), direction_deg=direction, awns=awns)
    axis = axis_of(plant)
    along = np.array([-np.sin(np.radians(direction)), np.cos(np.radians(direction))])
    base, tip = 550 - 210 * along, 550 + 210 * along
    assert np.linalg.norm(axis[0] - base) < 35
    assert np.linalg.norm(axis[-1] - tip) < 35
    aside = np.array([-along[1], along[0]])
    assert np.abs((axis - 550) @ aside).max() < 4


@given(quarters=st.integers(1, 3), tilt=st.floats(-30, 30))
@settings(max_examples=10, deadline=None)
def test_turning_the_picture_turns_the_axis(quarters, tilt):
    plant = spike_mask(direction_deg=90 + tilt, size=(1000, 1000), centre=(500, 500))
    turned = axis_of(np.ascontiguousarray(np.rot90(plant, quarters)))
    expected = axis_of(plant)
    for _ in range(quarters):  # np.rot90: (row, column) -> (last - column, row)
        expected = np.stack([999 - expected[:, 1], expected[:, 0]], axis=1)
    assert np.abs(turned - expected).max() < 2


@pytest.mark.parametrize("direction", [60, 90, 120, 240, 270, 300])
def test_without_a_stem_the_lower_end_is_the_base(direction):
    axis = axis_of(spike_mask(direction_deg=direction, stem=0, awns=False))
    assert axis[0, 0] > axis[-1, 0] + 200


def test_a_stem_of_the_wrong_width_is_none():
    """As thin as an awn, or as wide as a leaf: then the spike is taken to stand upright."""
    plant = spike_mask(direction_deg=270, stem=0.3, awns=False, centre=(430, 300))
    (body,) = find_bodies(plant, thresholds=LIMITS)
    for low, high, base_row in ((0.1, 0.5, 220), (0.1, 0.25, 640), (0.35, 0.5, 640)):
        limits = replace(LIMITS, peduncle_width_low=low, peduncle_width_high=high)
        assert body_axis(body, plant, thresholds=limits)[0, 0] == pytest.approx(base_row, abs=40)


@pytest.mark.parametrize(("columns", "base_up"), [((300,), True), ((270, 300, 330), False)])
def test_a_stem_comes_alone_and_awns_in_bunches(columns, base_up):
    """Bars of a stem's width beyond the upper end: one is a stem, three are awns."""
    plant = spike_mask(stem=0, awns=False)
    (body,) = find_bodies(plant, thresholds=LIMITS)
    for column in columns:
        plant[20:200, column - 6 : column + 6] = True
    axis = body_axis(body, plant, thresholds=LIMITS)
    assert (axis[0, 0] < axis[-1, 0]) == base_up


def test_the_axis_follows_a_bend():
    """An arc of 60 degrees: every point of the axis lies on the arc it was drawn with."""
    plant = np.zeros((900, 900), np.uint8)
    cv2.ellipse(plant, (100, 450), (500, 500), 0, -30, 30, 1, 80)
    axis = axis_of(plant > 0)
    radius = np.hypot(axis[:, 0] - 450, axis[:, 1] - 100)
    assert np.abs(radius[2:-2] - 500).max() < 8
    chord = np.linalg.norm(axis[-1] - axis[0])
    assert np.linalg.norm(np.diff(axis, axis=0), axis=1).sum() > 1.02 * chord
