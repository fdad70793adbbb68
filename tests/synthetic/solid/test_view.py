"""The pinhole projects as geometry says, and its rays go where it projects from."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.synthetic.solid.view import View, draw_turn, draw_view

VIEW = View(distance_mm=200, centre_mm=(0.0, 30.0), px_per_mm=20, height_px=801, width_px=401)


def test_the_middle_of_the_frame_is_the_point_aimed_at():
    assert VIEW.project(np.array([[0, 0, 30.0]]))[0] == pytest.approx((400, 200))


def test_a_millimetre_in_the_plane_of_the_axis_spans_the_scale():
    a, b = VIEW.project(np.array([[0, 0, 30.0], [1, 0, 31.0]]))
    assert b - a == pytest.approx((-20, 20))


def test_what_is_half_as_far_looks_twice_as_large():
    a, b = VIEW.project(np.array([[0, -100.0, 30], [1, -100, 30]]))
    assert b[1] - a[1] == pytest.approx(40)


@given(
    x=st.floats(-15, 15), y=st.floats(-60, 60), z=st.floats(10, 50),
)  # fmt: skip
def test_the_ray_through_where_a_point_shows_meets_the_point(x: float, y: float, z: float):
    point = np.array([x, y, z])
    row, column = VIEW.project(point[None])[0]
    ray = VIEW.rays(np.array([row]), np.array([column]))[0]
    met = np.array(VIEW.origin_mm) + ray * (y + VIEW.distance_mm)
    assert met == pytest.approx(point, abs=1e-3)


def test_a_drawn_view_shows_its_box_at_the_working_scale():
    view = draw_view((-17, 0, 17, 80), np.random.default_rng(1))
    assert 18 <= view.px_per_mm <= 24
    corners = view.project(np.array([[-17, 0, 0], [17, 0, 80.0]]))
    assert corners[0] == pytest.approx((view.height_px - 0.5, -0.5), abs=1)
    assert corners[1] == pytest.approx((-0.5, view.width_px - 0.5), abs=1)


def test_a_long_side_limits_the_scale():
    view = draw_view((-17, 0, 17, 80), np.random.default_rng(1), long_side_px=400)
    assert view.height_px == 400


@pytest.mark.parametrize("seed", range(20))
def test_the_spike_is_turned_and_stays_upright(seed: int):
    turn = draw_turn(np.random.default_rng(seed))
    assert turn @ turn.T == pytest.approx(np.eye(3), abs=1e-12)
    assert np.linalg.det(turn) == pytest.approx(1)
    up = turn @ np.array([0, 0, 1.0])
    assert np.degrees(np.arctan2(abs(up[0]), up[2])) <= 8.2  # roll, seen by the camera
    assert np.degrees(np.arccos(up[2])) <= np.hypot(8, 12) + 0.1
