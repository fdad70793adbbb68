"""The strip: its pixels show the places they say, base below, tip above, left on the left."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.imaging.strip import Strip, straighten

SIDE = 240
ROWS, COLUMNS = np.mgrid[:SIDE, :SIDE]
# a photo whose colours are the places of its pixels
PLACES = np.stack([ROWS, COLUMNS, np.zeros_like(ROWS)], axis=2).astype(np.uint8)
DIRECTIONS = st.floats(0, 360)
ZOOMS = st.floats(0.3, 1.0)


def drawn_axis(
    direction_deg: float, *, bend: float = 0.0, length: float = 100.0, points: int = 60
) -> np.ndarray:
    """A line through the middle of the photo; ``bend`` radians turned from base to tip."""
    along = np.linspace(0, 1, points)
    heading = np.radians(direction_deg) + bend * (along - 0.5)
    step = length / (points - 1)
    line = np.cumsum(np.stack([-np.sin(heading), np.cos(heading)], axis=1) * step, axis=0)
    return line - line.mean(axis=0) + SIDE / 2


def strip_of(axis: np.ndarray, zoom: float, *, half: float = 25.0, margin: float = 8.0) -> Strip:
    return straighten(PLACES, axis, half_width_px=half, margin_px=margin, zoom=zoom)


@given(direction=DIRECTIONS, bend=st.floats(-1, 1), zoom=ZOOMS)
@settings(max_examples=60, deadline=None)
def test_each_pixel_shows_the_place_it_says(direction, bend, zoom):
    strip = strip_of(drawn_axis(direction, bend=bend), zoom)
    assert strip.inside.all()
    said = np.stack([strip.photo_rows, strip.photo_columns], axis=2)
    assert np.abs(strip.pixels[..., :2] - said).max() < 1.1  # both are rounded to whole colours


@given(direction=DIRECTIONS, bend=st.floats(-1, 1), zoom=ZOOMS)
@settings(max_examples=60, deadline=None)
def test_base_and_tip_stand_where_they_are_said_to(direction, bend, zoom):
    axis = drawn_axis(direction, bend=bend)
    strip = strip_of(axis, zoom)
    for row, end, position in ((strip.base_row, axis[0], 0), (strip.tip_row, axis[-1], 1)):
        place = strip.photo_point(row, strip.axis_column)
        assert np.hypot(place.row - end[0], place.column - end[1]) < 1 / zoom
        assert strip.position(row) == position
    assert strip.tip_row < strip.base_row


@given(direction=DIRECTIONS, offset=st.floats(-20, 20), share=st.floats(0, 1), zoom=ZOOMS)
@settings(max_examples=60, deadline=None)
def test_a_place_beside_a_straight_axis_is_found_again(direction, offset, share, zoom):
    """The way from the photo into the strip by hand, and back by the strip."""
    axis = drawn_axis(direction)
    towards_tip = (axis[-1] - axis[0]) / np.linalg.norm(axis[-1] - axis[0])
    right = np.array([towards_tip[1], -towards_tip[0]])  # tip upwards: columns grow to the right
    wanted = axis[0] + share * (axis[-1] - axis[0]) + offset * right
    strip = strip_of(axis, zoom)
    row = strip.base_row + share * (strip.tip_row - strip.base_row)
    place = strip.photo_point(row, strip.axis_column + offset * zoom)
    assert np.hypot(place.row - wanted[0], place.column - wanted[1]) < 1 / zoom
    assert strip.position(row) == pytest.approx(share)


@pytest.mark.parametrize(
    ("base", "tip", "left"),
    [
        ((200, 120), (60, 120), (120, 100)),  # tip up: its left is the photo's left
        ((60, 120), (200, 120), (120, 140)),  # tip down: its left is the photo's right
        ((120, 60), (120, 200), (100, 120)),  # tip to the right: its left is above
        ((120, 200), (120, 60), (140, 120)),
    ],
)
def test_left_seen_from_base_to_tip_is_left_in_the_strip(base, tip, left):
    photo = np.zeros((SIDE, SIDE, 3), np.uint8)
    photo[left[0] - 3 : left[0] + 4, left[1] - 3 : left[1] + 4] = 255
    axis = np.linspace(base, tip, 20).astype(np.float64)
    strip = straighten(photo, axis, half_width_px=40, margin_px=5, zoom=1.0)
    assert np.nonzero(strip.pixels[..., 0])[1].mean() == pytest.approx(
        strip.axis_column - 20, abs=1
    )


def test_along_a_curve_a_step_in_the_strip_is_a_step_in_the_photo():
    zoom = 0.5
    strip = strip_of(drawn_axis(70, bend=1.2), zoom)
    middle = round(strip.axis_column)
    steps = np.hypot(np.diff(strip.photo_rows[:, middle]), np.diff(strip.photo_columns[:, middle]))
    assert steps == pytest.approx(np.full(len(steps), 1 / zoom), rel=0.03)


def test_beyond_the_base_and_the_tip_the_position_stays_within_its_range():
    strip = strip_of(drawn_axis(90), 1.0)
    assert strip.position(strip.base_row + 50) == 0
    assert strip.position(strip.tip_row - 50) == 1


def test_where_the_strip_leaves_the_photo_it_says_so():
    axis = np.linspace((200.0, 10.0), (60.0, 10.0), 20)
    strip = straighten(PLACES, axis, half_width_px=25, margin_px=5, zoom=1.0)
    assert np.array_equal(strip.inside, strip.photo_columns >= 0)
    assert not strip.inside[:, 0].any()
    assert strip.inside[:, -1].all()


@given(direction=DIRECTIONS, zoom=ZOOMS)
@settings(max_examples=30, deadline=None)
def test_a_box_holds_the_places_of_its_pixels(direction, zoom):
    strip = strip_of(drawn_axis(direction), zoom)
    rows, columns = np.nonzero(np.ones((9, 6), dtype=bool))
    box = strip.photo_box(rows + 5, columns + 3)
    places = [
        strip.photo_point(float(r + 5), float(c + 3)) for r, c in zip(rows, columns, strict=True)
    ]
    assert all(box.contains(place) for place in places)
    half = 0.5 / zoom
    assert box.top == pytest.approx(min(place.row for place in places) - half)
    assert box.right == pytest.approx(max(place.column for place in places) + half)


def test_reducing_averages_what_it_leaves_out():
    """Stripes of one pixel turn grey at half the size, not black or white."""
    stripes = np.zeros((SIDE, SIDE, 3), np.uint8)
    stripes[:, ::2] = 255
    axis = np.linspace((200.0, 120.0), (60.0, 120.0), 20)
    strip = straighten(stripes, axis, half_width_px=30, margin_px=5, zoom=0.5)
    assert np.abs(strip.pixels.astype(int) - 128).max() <= 2
