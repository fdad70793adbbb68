"""Labels stand apart from each other and beside the spike."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.imaging.labels import label_places, spike_direction, spread

places = st.lists(st.floats(-1e4, 1e4), max_size=30).map(np.array)


@given(places, st.floats(0.1, 100))
def test_spread_keeps_the_step_and_the_order(wanted, step):
    got = spread(wanted, step=step)
    order = np.argsort(wanted, kind="stable")
    assert np.all(np.diff(got[order]) >= step - 1e-6)


@given(places)
def test_spread_moves_nothing_that_has_room(wanted):
    roomy = np.unique(np.round(wanted)) * 2
    assert spread(roomy, step=1.5) == pytest.approx(roomy)


def test_colliding_labels_form_a_block_about_their_mean():
    assert spread(np.array([10.0, 10.0, 10.0]), step=4) == pytest.approx([6, 10, 14])


@given(
    st.lists(st.tuples(st.floats(0, 1000), st.floats(0, 1000)), min_size=1, max_size=25),
    st.floats(0, 2 * np.pi),
)
def test_labels_neither_overlap_nor_stand_on_the_spike(points, angle):
    marks = np.array(points)
    chord = np.array([np.sin(angle), np.cos(angle)])
    direction = spike_direction(np.stack([np.zeros(2), 50 * chord]))
    height, width = 20.0, 60.0
    got = label_places(marks, edges=marks, direction=direction, size=(height, width), gap_px=10.0)
    for i, one in enumerate(got):
        for other in got[:i]:
            apart = np.abs(one - other)
            assert apart[0] >= height - 1e-6 or apart[1] >= width - 1e-6
    across = marks @ direction.across
    corners = got[:, None] + np.array([[-1, -1], [-1, 1], [1, -1], [1, 1]]) * (
        height / 2,
        width / 2,
    )
    reach = corners @ direction.across
    outside = (reach.min(axis=1) >= across.max() + 9.99) | (
        reach.max(axis=1) <= across.min() - 9.99
    )
    assert outside.all()


def test_a_label_takes_the_side_of_its_floret_and_its_height():
    marks = np.array([[10.0, 40.0], [30.0, 60.0]])
    got = label_places(
        marks, edges=marks, direction=spike_direction(None), size=(8, 20), gap_px=5.0
    )
    assert got == pytest.approx(np.array([[10.0, 25.0], [30.0, 75.0]]))


def test_a_lopsided_crowd_uses_both_columns():
    marks = np.stack([np.arange(12) * 5.0, np.linspace(60, 90, 12)], axis=1)
    got = label_places(
        marks, edges=np.array([[0.0, 0.0]]), direction=spike_direction(None), size=(8, 20),
        gap_px=5.0,
    )  # fmt: skip
    right = int((got[:, 1] > 50).sum())
    assert 4 <= right <= 8


def test_no_axis_and_a_point_axis_count_as_upright():
    for axis in (None, np.zeros((2, 2))):
        assert spike_direction(axis).along.tolist() == [-1, 0]


def test_no_marks_no_labels():
    got = label_places(
        np.empty((0, 2)), edges=np.empty((0, 2)), direction=spike_direction(None), size=(1, 1),
        gap_px=1,
    )  # fmt: skip
    assert got.shape == (0, 2)
