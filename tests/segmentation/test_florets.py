"""Florets: sides, numbers from base to tip, and those that should be there."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.segmentation.florets import FloretPlace, floret_places, same_side_spacing_px
from spikecheck.segmentation.numbering import number_florets
from spikecheck.segmentation.openings import Opening
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import Side
from tests.segmentation.drawing import plain_strip

LIMITS = load_thresholds().segmentation
STRIP = plain_strip()  # axis at column 180, tip at row 50, base at row 949
LEFT, FRONT, RIGHT = 120.0, 180.0, 240.0
DARK = np.full((1000, 361), 0.5, np.float32)
LIT = np.zeros((1000, 361), np.float32)


def opening(row: float, column: float, *, log_odds: float = 2.0, rim_seen: float = 1.0) -> Opening:
    angle = np.linspace(0, 2 * np.pi, 32, endpoint=False)
    rim = np.stack([row + 15 * np.sin(angle), column + 22 * np.cos(angle)], axis=1)
    return Opening(rim.astype(np.float32), log_odds, rim_seen)


def places_of(openings, darkness=DARK) -> tuple[FloretPlace, ...]:
    return floret_places(openings, STRIP, darkness, thresholds=LIMITS)


def numbered(openings, darkness=DARK, *, strip=STRIP):
    places = floret_places(openings, strip, darkness, thresholds=LIMITS)
    return [floret for _, floret in number_florets(places, strip, floret_px=60)]


def rows_of(places, side) -> list[float]:
    return sorted(place.row for place in places if place.side is side)


@pytest.mark.parametrize(
    ("column", "side"),
    [
        (LEFT, Side.LEFT), (RIGHT, Side.RIGHT), (FRONT, Side.FRONT),
        (FRONT - LIMITS.front_offset_px + 1, Side.FRONT),
        (FRONT - LIMITS.front_offset_px - 1, Side.LEFT),
        (FRONT + LIMITS.front_offset_px + 1, Side.RIGHT),
    ],
)  # fmt: skip
def test_the_side_is_told_by_the_distance_from_the_axis(column, side):
    (place,) = places_of([opening(500, column)])
    assert place.side is side
    assert (place.row, place.column) == pytest.approx((500, column))


@given(rows=st.lists(st.integers(100, 900), min_size=1, max_size=12, unique=True))
def test_each_side_is_numbered_from_base_to_tip(rows):
    florets = numbered(
        [opening(row, LEFT) for row in rows[::2]] + [opening(row, RIGHT) for row in rows]
    )
    for side in Side:
        own = [floret for floret in florets if floret.side is side]
        assert [floret.id for floret in own] == [f"{side.letter}{n + 1}" for n in range(len(own))]
        positions = [floret.position for floret in own]
        assert positions == sorted(positions)
        assert [floret.centre.row for floret in own] == sorted(
            (floret.centre.row for floret in own), reverse=True
        )


def test_position_and_box_are_those_of_the_opening():
    strip = plain_strip(zoom=0.5)
    (floret,) = numbered([opening(500, LEFT)], strip=strip)
    assert floret.position == pytest.approx((949 - 500) / 899, abs=1e-3)
    assert (floret.centre.row, floret.centre.column) == (1000, 240)
    # half axes 15 and 22 px of a strip at half size, and half a strip pixel all round
    box = floret.box
    assert (box.bottom - box.top) / 2 == pytest.approx(31, abs=1)
    assert (box.right - box.left) / 2 == pytest.approx(45, abs=1)


def test_a_gap_gets_a_floret_not_seen():
    openings = [opening(row, LEFT) for row in (800, 700, 500, 400)]
    missing = [place for place in places_of(openings) if place.opening is None]
    assert [place.side for place in missing] == [Side.LEFT]
    assert (missing[0].row, missing[0].column) == pytest.approx((600, LEFT))
    assert (missing[0].cavity_seen, missing[0].clipped) == (0, True)
    assert [floret.id for floret in numbered(openings)] == ["L1", "L2", "L3", "L4", "L5"]
    by_id = {floret.id: floret for floret in numbered(openings)}
    assert by_id["L3"].cavity_seen == 0
    assert by_id["L3"].box.bottom - by_id["L3"].box.top == 60
    reduced = {floret.id: floret for floret in numbered(openings, strip=plain_strip(zoom=0.5))}
    assert reduced["L3"].box.right - reduced["L3"].box.left == 120  # px of the photo


@given(missing=st.integers(1, 4))
def test_a_wide_gap_gets_as_many_florets_as_fit(missing):
    rows = [900.0, 820.0, 740.0, 740.0 - 80 * (missing + 1)]
    own = places_of([opening(row, RIGHT) for row in rows])
    assert rows_of(own, Side.RIGHT) == pytest.approx(
        sorted([900.0, 820.0, *(740.0 - 80 * i for i in range(missing + 2))])
    )


def test_an_even_row_and_a_gap_just_within_the_limit_get_none():
    even = [opening(row, LEFT) for row in (800, 700, 600, 500, 400)]
    within = [*even, opening(400 - 100 * LIMITS.gap_spacings + 1, LEFT)]
    beyond = [*even, opening(400 - 100 * LIMITS.gap_spacings - 1, LEFT)]
    for openings, count in ((even, 0), (within, 0), (beyond, 1)):
        assert sum(place.opening is None for place in places_of(openings)) == count


def test_a_front_floret_fills_a_gap():
    openings = [opening(row, LEFT) for row in (800, 700, 500, 400)] + [opening(600, FRONT)]
    assert all(place.opening is not None for place in places_of(openings))


def test_a_floret_missing_from_a_side_without_any_stands_as_far_out_as_the_others():
    left = [opening(row, LEFT) for row in (800, 700, 600, 500)]
    front = [opening(row, FRONT) for row in (760, 560)]
    (missing,) = (place for place in places_of(left + front) if place.opening is None)
    assert missing.side is Side.RIGHT
    assert (missing.row, missing.column) == pytest.approx((660, RIGHT))


def test_where_a_floret_should_be_and_only_even_tissue_is_its_top_is_closed():
    openings = [opening(row, LEFT) for row in (800, 700, 500, 400)]
    for darkness, clipped in ((DARK, True), (LIT, False)):
        (missing,) = (place for place in places_of(openings, darkness) if place.opening is None)
        assert missing.clipped is clipped
    speck = LIT.copy()
    speck[600:610, 115:125] = 0.9  # 100 of 3600 px: less than an opening
    (missing,) = (place for place in places_of(openings, speck) if place.opening is None)
    assert not missing.clipped


def test_beyond_the_strip_nothing_is_said_of_a_top():
    """A place outside the picture is unknown: never called closed, and not seen."""
    openings = [opening(row, -300.0) for row in (800, 700, 500, 400)]
    (missing,) = (place for place in places_of(openings, LIT) if place.opening is None)
    assert missing.clipped
    assert missing.cavity_seen == 0


def test_a_doubtful_opening_is_a_floret_not_seen():
    sure, doubtful = LIMITS.opening_log_odds, LIMITS.opening_log_odds - 0.01
    places = places_of(
        [opening(500, LEFT, log_odds=sure, rim_seen=0.75), opening(600, LEFT, log_odds=doubtful)]
    )
    assert [place.cavity_seen for place in places] == [0.75, 0]
    assert all(place.clipped for place in places)


def test_too_few_neighbours_give_no_distance_and_no_missing_floret():
    openings = [opening(800, LEFT), opening(300, LEFT), opening(500, RIGHT)]
    places = places_of(openings)
    assert same_side_spacing_px(places) is None
    assert len(places) == 3
    assert same_side_spacing_px(()) is None


def test_the_distance_is_the_median_over_both_sides_and_not_between_them():
    openings = [opening(row, LEFT) for row in (800, 700, 600)]
    openings += [opening(row, RIGHT) for row in (790, 670)]
    places = [FloretPlace(*o.centre, side, 1.0, True, o) for o, side in zip(
        openings, [Side.LEFT] * 3 + [Side.RIGHT] * 2, strict=True)]  # fmt: skip
    assert same_side_spacing_px(places) == pytest.approx(100)
