"""The map shows the floret on its side and at its count from the base, however the spike lay."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.imaging.crops import place_crop
from spikecheck.imaging.spike_map import place_words, quarter_turns, spike_map, tip_up
from spikecheck.imaging.strip import straighten
from spikecheck.language import Language, in_language
from spikecheck.segmentation.florets import FloretPlace
from spikecheck.segmentation.numbering import number_florets
from spikecheck.vocabulary import (
    Box,
    Floret,
    FloretStatus,
    JudgedFloret,
    Photo,
    Point,
    Side,
    Spike,
)

SVG = "{http://www.w3.org/2000/svg}"
PHOTO = np.zeros((700, 700, 3), np.uint8)
PER_SIDE = 5
LENGTH_PX, HALF_WIDTH_PX = 400.0, 60.0
HOLDS = {"upright": 0.0, "to the right": 90.0, "upside down": 180.0, "slanting": 235.0}


def bent_axis(turn_degrees: float, bend: float) -> np.ndarray:
    """A line from base to tip: part of a circle of ``bend`` radians, turned clockwise from up."""
    along = np.linspace(0, 1, 60)
    # Heading turns evenly from -bend/2 to bend/2 about "up".
    heading = np.deg2rad(turn_degrees) + bend * (along - 0.5)
    steps = LENGTH_PX / len(along) * np.column_stack([-np.cos(heading), np.sin(heading)])
    line = np.cumsum(steps, axis=0)
    return line - line.mean(axis=0) + 350.0


def spike_with_florets(turn_degrees: float, bend: float) -> tuple[Spike, tuple[JudgedFloret, ...]]:
    """A spike as the finder reports it: florets numbered along the strip that is cut along it."""
    axis = bent_axis(turn_degrees, bend)
    strip = straighten(PHOTO, axis, half_width_px=HALF_WIDTH_PX, margin_px=10, zoom=1.0)
    columns = {Side.LEFT: 0.3, Side.FRONT: 1.0, Side.RIGHT: 1.7}
    places = [
        FloretPlace(
            strip.base_row - (0.1 + 0.8 * step / PER_SIDE) * (strip.base_row - strip.tip_row),
            strip.axis_column * column, side, 1.0, True, None,
        )
        for side, column in columns.items()
        for step in range(PER_SIDE)
    ]  # fmt: skip
    found = number_florets(places, strip, floret_px=20)
    rim = [
        strip.photo_point(row, column)
        for row, column in (
            (strip.base_row, 5), (strip.tip_row, 5),
            (strip.tip_row, 2 * HALF_WIDTH_PX - 5), (strip.base_row, 2 * HALF_WIDTH_PX - 5),
        )
    ]  # fmt: skip
    outline = np.array([(point.row, point.column) for point in rim])
    judged = tuple(JudgedFloret(floret, FloretStatus.ANTHER, 0.5) for _, floret in found)
    return Spike(outline, axis, cut_off=False, hidden_share=0.0), judged


def mark(svg: str) -> tuple[float, float]:
    """Middle of the sign on the map: x to the right, y down."""
    (here,) = [one for one in ET.fromstring(svg).iter() if one.get("class") == "here"]
    if here.tag == f"{SVG}circle":
        return float(here.get("cx")), float(here.get("cy"))
    corners = np.array([corner.split(",") for corner in here.get("points").split()], float)
    return tuple(corners.mean(axis=0))


def axis_x(svg: str, y: float) -> float:
    """Where the axis is at a height of the map."""
    (line,) = ET.fromstring(svg).iter(f"{SVG}polyline")
    points = np.array([point.split(",") for point in line.get("points").split()], float)
    order = np.argsort(points[:, 1])
    return float(np.interp(y, points[order, 1], points[order, 0]))


def texts(svg: str) -> list[str]:
    return [one.text for one in ET.fromstring(svg).iter(f"{SVG}text")]


@pytest.mark.parametrize("bend", [0.0, 0.7, -0.7], ids=["straight", "bent right", "bent left"])
@pytest.mark.parametrize("hold", HOLDS)
def test_side_and_count_from_the_base_are_those_of_the_floret(hold, bend):
    spike, florets = spike_with_florets(HOLDS[hold], bend)
    for side in Side:
        own = [judged for judged in florets if judged.floret.side is side]
        maps = [spike_map(spike, florets, here=judged) for judged in own]
        places = [mark(svg) for svg in maps]
        assert [y for _, y in places] == sorted((y for _, y in places), reverse=True)
        for svg, (x, y), judged in zip(maps, places, own, strict=True):
            aside = x - axis_x(svg, y)
            expected = {Side.LEFT: -1, Side.RIGHT: 1, Side.FRONT: 0}[side]
            assert (abs(aside) < 6) if expected == 0 else (np.sign(aside) == expected)
            count = int(judged.floret.id[1:])
            assert texts(svg) == [*map(str, range(1, count + 1)), "tip", "base"]


@given(st.floats(0, 360), st.floats(-1, 1))
def test_the_turn_is_a_turn_that_brings_the_tip_up(turn, bend):
    axis = bent_axis(turn, bend)
    matrix = tip_up(axis)
    assert np.linalg.det(matrix @ [[0, 1], [-1, 0]]) == pytest.approx(1)  # no mirror
    np.testing.assert_allclose(matrix.T @ matrix, np.eye(2), atol=1e-12)
    right, up = (axis[-1] - axis[0]) @ matrix
    assert right == pytest.approx(0, abs=1e-9)
    assert up > 0


@pytest.mark.parametrize(("hold", "turns"), [(0, 0), (90, 1), (180, 2), (270, 3), (40, 0)])
def test_a_close_view_is_turned_by_quarters_until_its_tip_is_up(hold, turns):
    axis = bent_axis(hold, 0.0)
    assert quarter_turns(axis) == turns
    pixels = np.zeros((700, 700, 3), np.uint8)
    tip = axis[-1].round().astype(int)
    pixels[tip[0] - 4 : tip[0] + 5, tip[1] - 4 : tip[1] + 5] = 255
    photo = Photo("a", "0" * 64, pixels)
    crop = np.rot90(place_crop(photo, Point(350, 350), side_px=600), turns)
    row, column = np.argwhere(crop[..., 0] == 255).mean(axis=0)
    assert row < 250
    assert abs(column - 300) < 150


def test_a_place_outside_the_florets_is_shown_where_it_is():
    spike, florets = spike_with_florets(180.0, 0.0)
    svg = spike_map(spike, florets, here=Point(530, 250))  # upside down: low is near the tip
    x, y = mark(svg)
    assert x > axis_x(svg, y)
    assert y < 80
    assert texts(svg) == ["tip", "base"]
    assert 'aria-label="Outside the florets"' in svg


@pytest.mark.parametrize(
    ("floret_id", "side", "words"),
    [
        ("L4", Side.LEFT, "Left side, floret 4 from the base"),
        ("R12", Side.RIGHT, "Right side, floret 12 from the base"),
        ("F1", Side.FRONT, "Facing you, floret 1 from the base"),
        ("Lx", Side.LEFT, "Left side"),
    ],
)
def test_the_words_say_the_same_as_the_map(floret_id, side, words):
    floret = Floret(floret_id, Point(350, 350), Box(340, 340, 360, 360), side, 0.4, True, 1.0)
    assert place_words(floret) == words
    spike, florets = spike_with_florets(0.0, 0.0)
    here = JudgedFloret(floret, FloretStatus.NOT_SEEN, 0.1)
    assert f'aria-label="{words}"' in spike_map(spike, [*florets, here], here=here)


def test_the_map_is_well_formed_in_every_language():
    spike, florets = spike_with_florets(20.0, 0.3)
    for language in Language:
        with in_language(language):
            ET.fromstring(spike_map(spike, florets, here=florets[0]))


def test_the_sign_has_the_shape_of_what_was_concluded():
    spike, florets = spike_with_florets(0.0, 0.0)
    corners = {}
    for status in FloretStatus:
        one = replace(florets[2], status=status)
        (here,) = [
            each
            for each in ET.fromstring(spike_map(spike, florets, here=one)).iter()
            if each.get("class") == "here"
        ]
        corners[status] = len((here.get("points") or "").split())
    assert corners == {
        FloretStatus.CLEAR: 0, FloretStatus.ANTHER: 3,
        FloretStatus.NOT_SEEN: 4, FloretStatus.NOT_CLIPPED: 4,
    }  # fmt: skip


def test_a_closed_axis_leaves_the_photo_as_it_is():
    np.testing.assert_allclose(np.array([[-2.0, 3.0]]) @ tip_up(np.zeros((2, 2))), [[3.0, 2.0]])
