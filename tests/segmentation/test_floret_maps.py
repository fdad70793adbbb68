"""Florets in the maps of a strip: their place in the photo, what is said of them, their names."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.networks import LogitScaling
from spikecheck.segmentation.floret_maps import florets_in_maps
from spikecheck.vocabulary import Side
from tests.networks.strips import (
    COLUMNS,
    MIDDLE,
    PX_PER_MM,
    ROWS,
    SCALING,
    THRESHOLDS,
    TUNED,
    add_floret,
    empty_maps,
    in_photo,
    strip,
)

LEFT, RIGHT = MIDDLE - 62, MIDDLE + 62  # middles of cells
ALTERNATING = [(1100.0 - 90 * i, RIGHT if i % 2 else LEFT) for i in range(10)]


def found_in(maps, in_strip=None, *, not_prepared=False, scaling=SCALING, **tuned):
    return florets_in_maps(
        maps, in_strip or strip(), not_prepared=not_prepared, scaling=scaling,
        tuned=replace(TUNED, **tuned), thresholds=THRESHOLDS,
    )  # fmt: skip


def florets(*args, **named):
    return [each.floret for each in found_in(*args, **named)]


@pytest.mark.parametrize("angle_deg", [0, 37, 90, 180, 262])
def test_florets_lie_in_the_photo_where_their_peaks_are_in_the_strip(angle_deg):
    maps = empty_maps()
    for place in ALTERNATING:
        add_floret(maps, place, left=place[1] < MIDDLE)
    found = florets(maps, strip(angle_deg))
    assert len(found) == len(ALTERNATING)
    for place in ALTERNATING:
        wanted = in_photo(place, angle_deg)
        distance = [np.hypot(f.centre.row - wanted[0], f.centre.column - wanted[1]) for f in found]
        assert min(distance) < 0.15 * PX_PER_MM


def test_they_are_named_by_side_and_number_from_base_to_tip():
    maps = empty_maps()
    for place in ALTERNATING:
        add_floret(maps, place, left=place[1] < MIDDLE)
    found = florets(maps)
    assert [f.id for f in found] == [f"{side}{n}" for side in "LR" for n in range(1, 6)]
    assert [f.side for f in found] == [Side.LEFT] * 5 + [Side.RIGHT] * 5
    for side in (Side.LEFT, Side.RIGHT):
        rows = [f.centre.row for f in found if f.side is side]
        positions = [f.position for f in found if f.side is side]
        assert rows == sorted(rows, reverse=True)
        assert positions == sorted(positions)
        assert 0 < positions[0] < positions[-1] < 1


def test_size_and_attributes_are_those_of_the_centre_cell():
    maps = empty_maps()
    add_floret(maps, (600, LEFT), left=True, height_mm=3.2, width_mm=2.4, cavity=1.0, holds=2.0)
    add_floret(maps, (300, RIGHT), left=False, clipped=-4.0, cavity=-6.0)
    open_one, closed = florets(maps, scaling=LogitScaling(0.5, -0.2))
    box = open_one.box
    assert box.bottom - box.top == pytest.approx(3.2 * PX_PER_MM, rel=0.06)
    assert box.right - box.left == pytest.approx(2.4 * PX_PER_MM, rel=0.06)
    assert box.contains(open_one.centre)
    assert open_one.clipped
    assert open_one.cavity_seen == pytest.approx(1 / (1 + np.exp(-1.0)), abs=1e-4)
    assert open_one.p_anther == pytest.approx(1 / (1 + np.exp(-0.8)), abs=1e-4)
    assert not closed.clipped
    assert closed.cavity_seen < 0.01


def test_the_box_of_a_round_floret_does_not_grow_as_the_strip_leans():
    maps = empty_maps()
    add_floret(maps, (600, LEFT), left=True, height_mm=2.5, width_mm=2.5)
    for angle_deg in (0, 45):
        box = florets(maps, strip(angle_deg))[0].box
        assert box.bottom - box.top == pytest.approx(2.5 * PX_PER_MM, rel=0.06)


def test_on_an_unprepared_spike_a_cut_must_be_surer():
    maps = empty_maps()
    add_floret(maps, (600, LEFT), left=True, clipped=2.0)
    assert florets(maps)[0].clipped
    assert not florets(maps, not_prepared=True)[0].clipped


def test_low_peaks_count_from_the_tuned_height_on():
    maps = empty_maps()
    add_floret(maps, (600, LEFT), left=True, top=0.0)  # a heat of one half
    assert len(found_in(maps, floret_least=0.45)) == 1
    assert found_in(maps, floret_least=0.55) == ()


def test_what_lies_outside_the_photo_is_no_floret():
    maps = empty_maps()
    for place in ALTERNATING:
        add_floret(maps, place, left=place[1] < MIDDLE)
    whole = strip()
    inside = whole.inside.copy()
    inside[:700] = False
    found = found_in(maps, replace(whole, inside=inside))
    assert len(found) == sum(place[0] >= 700 for place in ALTERNATING)


@given(
    row=st.integers(200, 1000), column=st.integers(120, 360),
    cells=st.tuples(st.integers(-20, 20), st.integers(-15, 15)),
)  # fmt: skip
@settings(max_examples=15, deadline=None)
def test_florets_move_with_the_maps(row, column, cells):
    both = []
    for place in ((row, column), (row + 4 * cells[0], column + 4 * cells[1])):
        maps = empty_maps()
        add_floret(maps, place, left=True)
        both.append(found_in(maps)[0])
    before, after = (np.array(each.strip_box) for each in both)
    np.testing.assert_allclose(after - before, 4 * np.array([*cells, *cells]), atol=1e-2)
    centre = both[1].floret.centre
    wanted = in_photo((row + 4 * cells[0], column + 4 * cells[1]))
    assert np.hypot(centre.row - wanted[0], centre.column - wanted[1]) < 0.15 * PX_PER_MM


@given(data=st.data())
@settings(max_examples=6, deadline=None)
def test_whatever_the_maps_are_florets_are_valid(data):
    seed = data.draw(st.integers(0, 2**32 - 1))
    rng = np.random.default_rng(seed)
    maps = rng.normal(0, rng.uniform(0.1, 30), (20, ROWS // 4, COLUMNS // 4)).astype(np.float32)
    found = florets(maps)
    assert len({f.id for f in found}) == len(found)
    for floret in found:
        assert 0 <= floret.cavity_seen <= 1
        assert 0 <= floret.p_anther <= 1
