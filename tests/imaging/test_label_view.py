"""The enlarged region: inside the photo, a click leads back to its place, marks differ in kind."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.imaging.label_view import (
    MAP_PX,
    REGION_PX,
    clicked_place,
    draw_map,
    draw_region,
    region_view,
    whole_view,
)
from spikecheck.imaging.marks import SKY_BLUE, VERMILLION, YELLOW
from spikecheck.vocabulary import AntherStage, Photo, Point, Side, TrueAnther, TrueFloret
from tests.builders import around

sizes = st.integers(1, 6000)
shares = st.floats(0, 1)
zooms = st.sampled_from([1, 2, 4, 8, 16])


def grey(rows: int = 400, columns: int = 300) -> Photo:
    return Photo("a.png", "0" * 64, np.full((rows, columns, 3), 128, np.uint8))


@given(sizes, sizes, shares, shares, zooms)
def test_the_region_lies_in_the_photo(width, height, row_share, column_share, zoom):
    centre = Point(row_share * height, column_share * width)
    view = region_view(width, height, centre=centre, zoom=zoom)
    assert 0 <= view.top < view.bottom <= height
    assert 0 <= view.left < view.right <= width
    assert max(view.rows, view.columns) == REGION_PX


@given(sizes, sizes, shares, shares, zooms)
def test_a_click_leads_back_to_the_place_that_was_shown(width, height, row, column, zoom):
    view = region_view(width, height, centre=Point(height / 2, width / 2), zoom=zoom)
    place = Point(
        view.top + row * (view.bottom - view.top - 1),
        view.left + column * (view.right - view.left - 1),
    )
    shown = view.place(np.array([place.row, place.column])) + 0.5
    back = clicked_place(
        view,
        y_share=shown[0] / (view.scale * (view.bottom - view.top)),
        x_share=shown[1] / (view.scale * (view.right - view.left)),
    )
    assert abs(back.row - place.row) < 1e-6
    assert abs(back.column - place.column) < 1e-6


def test_a_click_at_the_edge_stays_in_the_photo():
    view = whole_view(300, 400, longest_px=MAP_PX)
    assert clicked_place(view, x_share=-0.1, y_share=-0.1) == Point(0, 0)
    assert clicked_place(view, x_share=1.2, y_share=1.0) == Point(399.5, 299.5)


def has(pixels: np.ndarray, colour: tuple[int, int, int]) -> int:
    return int((np.abs(pixels.astype(int) - colour).sum(axis=2) < 20).sum())


def drawn(anthers=(), florets=(), proposals=()) -> np.ndarray:
    view = region_view(300, 400, centre=Point(200, 150), zoom=2)
    return draw_region(grey(), view, anthers=anthers, florets=florets, proposals=proposals)


def test_marks_and_proposals_have_their_own_lines():
    anther = TrueAnther(Point(200, 150), stage=AntherStage.GREEN)
    place = Point(160, 120)
    floret = TrueFloret("L1", place, around(place, 15), Side.LEFT, 0.5, True, 1.0)
    assert has(drawn([anther]), VERMILLION) > 100
    assert has(drawn(florets=[floret]), SKY_BLUE) > 100
    dashed = has(drawn(proposals=[(1, anther)]), YELLOW)
    assert has(drawn(proposals=[(1, anther)]), VERMILLION) == 0
    # A dashed ring has about half the line of a whole one.
    assert 0.3 < dashed / has(drawn([anther]), VERMILLION) < 0.8
    assert has(drawn(proposals=[(2, floret)]), YELLOW) > 100


def test_base_and_tip_are_joined():
    view = region_view(300, 400, centre=Point(200, 150), zoom=2)
    ends = (Point(280, 150), Point(120, 150))
    pixels = draw_region(grey(), view, anthers=(), florets=(), proposals=(), axis=ends)
    assert (pixels[200:700, 445:455].max(axis=1) > 200).all()


def test_the_middle_of_an_anther_stays_in_sight():
    pixels = drawn([TrueAnther(Point(200, 150))])
    middle = pixels[440:460, 440:460]
    assert (middle == 128).all()


def test_what_lies_outside_the_region_is_not_drawn():
    outside = TrueAnther(Point(10, 10), stage=AntherStage.GREEN)
    assert (drawn([outside]) == drawn()).all()


def test_the_map_shows_the_region_and_a_dot_at_every_mark():
    view = region_view(300, 400, centre=Point(0, 0), zoom=4)
    plain = draw_map(grey(), view, [])
    assert plain.shape == (MAP_PX, round(MAP_PX * 3 / 4), 3)
    assert has(plain, VERMILLION) == 0
    assert has(draw_map(grey(), view, [Point(300, 200)]), VERMILLION) > 10
    assert (plain[150:, 150:] == 128).all()
