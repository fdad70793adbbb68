"""Anthers in the maps of a strip: place, size, stage, floret, score."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.anthers.anther_maps import anthers_in_maps
from spikecheck.networks import LogitScaling
from spikecheck.vocabulary import AntherStage
from tests.networks.strips import (
    COLUMNS,
    MIDDLE,
    PX_PER_MM,
    ROWS,
    SCALING,
    THRESHOLDS,
    TUNED,
    add_anther,
    empty_maps,
    in_photo,
    strip,
)

BOXES = {"L1": (600.0, 150.0, 660.0, 190.0), "R1": (500.0, 280.0, 560.0, 320.0)}


def found_in(maps, in_strip=None, boxes=BOXES, *, scaling=SCALING, **tuned):
    return anthers_in_maps(
        maps, in_strip or strip(), boxes, scaling=scaling, tuned=replace(TUNED, **tuned),
        thresholds=THRESHOLDS,
    )  # fmt: skip


def distance(anther, place, angle_deg=0.0) -> float:
    wanted = in_photo(place, angle_deg)
    return float(np.hypot(anther.centre.row - wanted[0], anther.centre.column - wanted[1]))


@pytest.mark.parametrize("angle_deg", [0, 64, 180])
def test_anthers_lie_in_the_photo_where_their_peaks_are_in_the_strip(angle_deg):
    places = [(620.0, 170.0), (530.0, 300.0), (900.0, 420.0)]
    maps = empty_maps()
    for place in places:
        add_anther(maps, place)
    found = found_in(maps, strip(angle_deg))
    assert len(found) == 3
    for place in places:
        assert min(distance(anther, place, angle_deg) for anther in found) < 0.15 * PX_PER_MM
        nearest = min(found, key=lambda anther: distance(anther, place, angle_deg))
        assert nearest.box.contains(nearest.centre)


@pytest.mark.parametrize("lean_deg", [0, 30, 90, 135])
def test_length_is_that_of_its_pixels_however_it_leans(lean_deg):
    maps = empty_maps()
    add_anther(maps, (620, 170), angle_deg=lean_deg, length_mm=2.8, width_mm=0.8)
    assert found_in(maps)[0].length_mm == pytest.approx(2.8, abs=0.3)


def test_without_pixels_size_is_what_the_network_says():
    maps = empty_maps()
    add_anther(maps, (620, 170), length_mm=2.2, width_mm=0.7, pixels=False)
    (anther,) = found_in(maps)
    assert anther.length_mm == pytest.approx(2.2, rel=1e-4)
    assert anther.box.bottom - anther.box.top == pytest.approx(2.2 * PX_PER_MM, rel=0.1)


@pytest.mark.parametrize("angle_deg", [0, 45, 90])
def test_the_box_in_the_photo_is_no_wider_than_the_anther(angle_deg):
    """A round anther of 2 mm is as high as wide however the strip leans."""
    maps = empty_maps()
    rows, columns = np.indices(maps.shape[1:]) * 4 + 1.5
    add_anther(maps, (620, 170), pixels=False)
    inside = np.hypot(rows - 620, columns - 170) <= 20
    maps[4, inside] = -8
    maps[5, inside] = 8
    box = found_in(maps, strip(angle_deg))[0].box
    for side in (box.bottom - box.top, box.right - box.left):
        assert side == pytest.approx(2 * PX_PER_MM, rel=0.15)


@pytest.mark.parametrize(
    ("kind", "stage"),
    [(1, AntherStage.GREEN), (2, AntherStage.YELLOW), (3, AntherStage.DEHISCED)],
)
def test_stage_is_that_of_its_pixels(kind, stage):
    maps = empty_maps()
    add_anther(maps, (620, 170), kind=kind)
    (anther,) = found_in(maps)
    assert anther.stage is stage
    assert anther.near_anthesis is (kind > 1)
    assert not anther.broken


def test_green_ones_can_be_near_anthesis_and_any_can_be_broken():
    maps = empty_maps()
    add_anther(maps, (620, 170), near=3.0, broken=3.0)
    (anther,) = found_in(maps)
    assert anther.stage is AntherStage.GREEN
    assert anther.near_anthesis
    assert anther.broken


def test_each_anther_has_the_pixels_nearest_to_it():
    maps = empty_maps()
    add_anther(maps, (620, 160), kind=1, length_mm=3.0)
    add_anther(maps, (620, 176), kind=2, length_mm=3.0)  # 0.8 mm beside, touching
    found = sorted(found_in(maps), key=lambda anther: anther.centre.column)
    assert [anther.stage for anther in found] == [AntherStage.GREEN, AntherStage.YELLOW]
    for anther in found:
        assert anther.box.right - anther.box.left < 1.3 * PX_PER_MM


def test_scores_are_scaled_logits_most_certain_first():
    maps = empty_maps()
    middles = (((621.5, 169.5), 1.0), ((529.5, 301.5), 4.0), ((901.5, 421.5), 2.5))
    for place, top in middles:
        add_anther(maps, place, top=top)
    found = found_in(maps, scaling=LogitScaling(0.5, -1.0))
    wanted = [1 / (1 + np.exp(-(0.5 * top - 1.0))) for top in (4.0, 2.5, 1.0)]
    assert [anther.score for anther in found] == pytest.approx(wanted, abs=1e-4)
    assert [a.score for a in found] == sorted((a.score for a in found), reverse=True)
    assert len(found_in(maps, anther_least=0.85)) == 2


@pytest.mark.parametrize(
    ("place", "floret"),
    [
        ((620, 170), "L1"), ((530, 300), "R1"),  # in the box
        ((690, 170), "L1"), ((530, 345), "R1"),  # out of the opening, up to 2 mm
        ((720, 170), None), ((900, 420), None), ((580, 235), None),
    ],
)  # fmt: skip
def test_an_anther_belongs_to_the_floret_it_is_in_or_near(place, floret):
    maps = empty_maps()
    add_anther(maps, place)
    assert found_in(maps)[0].floret == floret


def test_in_two_boxes_it_belongs_to_the_one_it_is_deeper_in():
    maps = empty_maps()
    add_anther(maps, (620, 170))
    boxes = {"L1": (560.0, 150.0, 624.0, 190.0), "L2": (590.0, 140.0, 650.0, 200.0)}
    assert found_in(maps, boxes=boxes)[0].floret == "L2"
    assert found_in(maps, boxes={})[0].floret is None


@given(
    row=st.integers(200, 1000), column=st.integers(120, 340),
    cells=st.tuples(st.integers(-20, 20), st.integers(-15, 15)),
)  # fmt: skip
@settings(max_examples=15, deadline=None)
def test_anthers_move_with_the_maps(row, column, cells):
    places = [(row, column), (row + 4 * cells[0], column + 4 * cells[1])]
    both = []
    for place in places:
        maps = empty_maps()
        add_anther(maps, place, kind=2)
        both.append(found_in(maps, boxes={})[0])
    for anther, place in zip(both, places, strict=True):
        assert distance(anther, place) < 0.15 * PX_PER_MM
    assert both[0].length_mm == pytest.approx(both[1].length_mm, abs=1e-3)
    assert both[0].score == pytest.approx(both[1].score, abs=1e-4)


def test_what_lies_outside_the_photo_is_no_anther():
    maps = empty_maps()
    add_anther(maps, (620, 170))
    whole = strip()
    inside = whole.inside.copy()
    inside[:, : round(MIDDLE)] = False
    assert found_in(maps, replace(whole, inside=inside)) == ()


@given(seed=st.integers(0, 2**32 - 1))
@settings(max_examples=5, deadline=None)
def test_whatever_the_maps_are_anthers_are_valid(seed):
    rng = np.random.default_rng(seed)
    maps = rng.normal(0, 1, (20, ROWS // 4, COLUMNS // 4)).astype(np.float32)
    maps *= rng.choice([0.1, 3.0, 30.0])
    maps[3] -= 2 * abs(maps[3]).mean()  # some peaks, not thousands
    for anther in found_in(maps):
        assert anther.length_mm > 0
        assert 0 <= anther.score <= 1
