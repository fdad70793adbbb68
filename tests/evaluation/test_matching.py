"""One-to-one matching: by distance and by box, as many pairs as possible."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.evaluation.matching import MatchRule, match
from spikecheck.vocabulary import Box, PhotoTruth, Point
from tests.evaluation.cases import result_on


@dataclass(frozen=True)
class Thing:
    """Something at a place, with or without extent."""

    centre: Point
    box: Box | None = None


def at(row: float, column: float, box: Box | None = None) -> Thing:
    return Thing(Point(row, column), box)


def test_nothing_matches_nothing():
    assert match([], [at(0, 0)], tolerance_px=9) == ()
    assert match([at(0, 0)], [], tolerance_px=9) == ()


def test_as_far_as_the_tolerance_and_no_farther():
    assert match([at(0, 0)], [at(3, 4)], tolerance_px=5) == ((0, 0),)
    assert match([at(0, 0)], [at(3, 4)], tolerance_px=4.99) == ()


def test_a_middle_inside_the_other_box_fits_at_any_distance():
    box = Box(-100, -100, 100, 100)
    assert match([at(0, 0, box)], [at(90, 90)], tolerance_px=1) == ((0, 0),)
    assert match([at(90, 90)], [at(0, 0, box)], tolerance_px=1) == ((0, 0),)


def test_two_reports_of_one_thing_make_one_pair():
    assert match([at(0, 0)], [at(1, 0), at(0, 0)], tolerance_px=5) == ((0, 1),)


def test_no_pair_is_given_up_for_a_nearer_one():
    """Greedy matching would pair 4 with 5 and leave 0 and 9 alone."""
    there, found = [at(0, 0), at(0, 5)], [at(0, 4), at(0, 9)]
    assert match(there, found, tolerance_px=4.5) == ((0, 0), (1, 1))


def test_misfits_never_push_out_a_fitting_pair():
    there = [at(0, 0), at(1000, 1000), at(2000, 0)]
    found = [at(9000, 0), at(0, 4), at(1000, 1004)]
    assert match(there, found, tolerance_px=5) == ((0, 1), (1, 2))


places = st.lists(st.tuples(st.integers(0, 60), st.integers(0, 60)), max_size=7)


@given(places, places, st.integers(0, 20))
def test_pairs_are_one_to_one_within_tolerance_and_as_many_as_possible(there, found, tolerance):
    pairs = match([at(*p) for p in there], [at(*p) for p in found], tolerance_px=tolerance)
    assert len({t for t, _ in pairs}) == len({f for _, f in pairs}) == len(pairs)
    near = {
        t: {
            f
            for f, b in enumerate(found)
            if (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 <= tolerance**2
        }
        for t, a in enumerate(there)
    }
    assert all(f in near[t] for t, f in pairs)
    assert len(pairs) == most_pairs(near)


def most_pairs(near: dict[int, set[int]]) -> int:
    """Size of a largest matching, by augmenting paths."""
    holder: dict[int, int] = {}

    def place(t: int, tried: set[int]) -> bool:
        for f in near[t] - tried:
            tried.add(f)
            if f not in holder or place(holder[f], tried):
                holder[f] = t
                return True
        return False

    return sum(place(t, set()) for t in near)


def test_tolerance_is_in_millimetres_where_the_true_scale_is_known():
    truth = PhotoTruth("a.jpg", 400, 1000, (), px_per_mm=20.0)
    photo = result_on().photos[0]
    assert MatchRule().anther_px(truth, photo) == pytest.approx(30)
    assert MatchRule().floret_px(truth, photo) == pytest.approx(40)


def test_tolerance_is_a_share_of_the_longer_side_without_a_true_scale():
    truth = PhotoTruth("a.jpg", 400, 1000, ())
    photo = result_on().photos[0]
    assert MatchRule().anther_px(truth, photo) == pytest.approx(15)
    assert MatchRule().floret_px(truth, photo) == pytest.approx(20)
