"""From truth to what is asked: everything that shows, and a reason for what is left out."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.coaching.truth_item import item_entry, item_of, read_item
from spikecheck.errors import UsageError
from spikecheck.practice import Item, LeftoverAnther
from spikecheck.vocabulary import AntherStage, Box, Point, QualityProblem, Side, TrueFloret
from tests.coaching.practice_photos import NUMBERS, anther, truth


def test_place_along_the_axis_and_side_without_florets():
    """The axis goes from row 390 up to row 10: row 105 is 285 of 380 px along it."""
    item = item_of(truth(anther()), "id", NUMBERS)
    (leftover,) = item.leftovers
    assert (item.photo, item.px_per_mm, item.clean) == ("id", 20.0, False)
    assert leftover.position == pytest.approx(0.75)
    assert (leftover.side, leftover.stage) == (Side.RIGHT, AntherStage.YELLOW)
    assert leftover.visible_area_mm2 == 0.5
    left = item_of(truth(anther(centre=Point(390, 100))), "id", NUMBERS).leftovers[0]
    assert (left.position, left.side) == (0.0, Side.LEFT)
    front = item_of(truth(anther(centre=Point(10, 152))), "id", NUMBERS).leftovers[0]
    assert (front.position, front.side) == (1.0, Side.FRONT)


def test_the_floret_an_anther_sits_in_says_where():
    floret = TrueFloret("L2", Point(50, 50), Box(40, 40, 60, 60), Side.LEFT, 0.2, True, 1.0)
    item = item_of(truth(anther(floret="L2"), florets=(floret,), px_per_mm=25.0), "id", NUMBERS)
    assert (item.leftovers[0].position, item.leftovers[0].side) == (0.2, Side.LEFT)


def test_what_does_not_show_is_not_asked_for():
    item = item_of(truth(anther(), anther(visible_area_mm2=0.0)), "id", NUMBERS)
    assert len(item.leftovers) == 1
    assert item_of(truth(), "id", NUMBERS).clean


def test_marks_of_people_have_no_area():
    item = item_of(truth(anther(visible_area_mm2=None)), "id", NUMBERS)
    assert item.leftovers[0].visible_area_mm2 is None


@pytest.mark.parametrize(
    ("made", "why"),
    [
        (truth(complete=False), "marking is not finished"),
        (truth(px_per_mm=None), "scale is not known"),
        (truth(anther(stage=None)), "stage of a leftover"),
        (truth(anther(visible_area_mm2=0.0)), "does not show"),
        (truth(anther(visible_area_mm2=0.04)), "hardly shows"),
    ],
)
def test_left_out_with_a_reason(made, why):
    with pytest.raises(UsageError, match=why):
        item_of(made, "id", NUMBERS)


def test_bad_photos_and_photos_without_a_spike_are_left_out():
    import dataclasses

    for problem, why in (
        (QualityProblem.NO_SPIKE, "no spike"),
        (QualityProblem.DARK, "cannot be judged"),
    ):
        with pytest.raises(UsageError, match=why):
            item_of(dataclasses.replace(truth(), problems=(problem,)), "id", NUMBERS)
    with pytest.raises(UsageError, match="base and tip"):
        item_of(dataclasses.replace(truth(anther()), axis=None), "id", NUMBERS)


@given(
    st.floats(0.1, 1e3),
    st.lists(
        st.builds(
            LeftoverAnther,
            st.builds(Point, st.floats(0, 1e4), st.floats(0, 1e4)),
            st.sampled_from(AntherStage),
            st.none() | st.floats(1e-3, 10),
            st.floats(0, 1),
            st.sampled_from(Side),
        ),
        max_size=4,
    ),
)
def test_what_is_recorded_comes_back_without_loss(px_per_mm, leftovers):
    item = Item("id", px_per_mm, tuple(leftovers))
    assert read_item("id", json.loads(json.dumps(item_entry(item)))) == item


@pytest.mark.parametrize("entry", [{}, {"px_per_mm": 1.0, "leftovers": [{"row": 1}]}, []])
def test_a_damaged_record_is_one_line(entry):
    with pytest.raises(UsageError, match="cannot be read"):
        read_item("id", entry)
