"""The overview's answer: spike, axis, scale, other spikes, what hides it and what cuts it off."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.networks import Letterbox
from spikecheck.segmentation.overview_axis import half_width_px
from spikecheck.segmentation.overview_reading import read_overview
from spikecheck.thresholds import load_thresholds
from tests.segmentation.overview_answers import PLACE, SCALE, TUNED, answer, in_photo

THRESHOLDS = load_thresholds().networks
BASE, TIP = (105.0, 50.0), (15.0, 44.0)
UPRIGHT = (BASE, TIP, 12.0)


def read(given, place=PLACE, **tuned):
    return read_overview(given, place, tuned=replace(TUNED, **tuned), thresholds=THRESHOLDS)


def test_a_spike_is_where_its_cells_are():
    reading = read(answer(UPRIGHT))
    spike = reading.spike
    assert np.hypot(*(spike.axis[0] - in_photo(BASE))) < 8 * 31
    assert np.hypot(*(spike.axis[-1] - in_photo(TIP))) < 8 * 31
    middle = spike.axis[len(spike.axis) // 2]
    wanted = in_photo(((BASE[0] + TIP[0]) / 2, (BASE[1] + TIP[1]) / 2))
    assert abs(middle[1] - wanted[1]) < 31
    assert half_width_px(spike) == pytest.approx(6 * 31.25, rel=0.25)
    assert spike.outline[:, 0].min() > 0
    assert (spike.hidden_share, spike.cut_off, reading.other_spikes) == (0, False, 0)
    assert not reading.not_prepared


@given(
    turn=st.floats(0, 2 * np.pi), row=st.floats(50, 78), column=st.floats(42, 54)
)  # fmt: skip
@settings(max_examples=40, deadline=None)
def test_axis_and_outline_turn_with_the_spike(turn, row, column):
    half = 32 * np.array([-np.cos(turn), np.sin(turn)])
    middle = np.array([row, column])
    base, tip = middle - half, middle + half
    spike = read(answer((tuple(base), tuple(tip), 12.0))).spike
    along = spike.axis[-1] - spike.axis[0]
    cosine = along @ (tip - base) / np.hypot(*along) / np.hypot(*(tip - base))
    assert cosine > 0.99
    np.testing.assert_allclose(spike.axis.mean(axis=0), in_photo((row, column)), atol=31)
    np.testing.assert_allclose(
        spike.outline.min(axis=0) + spike.outline.max(axis=0),
        2 * in_photo((row, column)), atol=62,
    )  # fmt: skip


@given(move=st.tuples(st.integers(-8, 8), st.integers(-12, 12)))
@settings(max_examples=25, deadline=None)
def test_what_is_read_moves_with_the_answer(move):
    still = read(answer(UPRIGHT)).spike
    ends = (tuple(np.add(BASE, move)), tuple(np.add(TIP, move)), 12.0)
    moved = read(answer(ends)).spike
    shift = np.array(move) * 31.25
    np.testing.assert_allclose(moved.axis, still.axis + shift, atol=0.5)
    np.testing.assert_allclose(moved.outline, still.outline + shift, atol=0.5)


def test_the_tip_is_where_the_arrows_point_else_up():
    for arrows, tip_up in (((-1, 0), True), ((1, 0), False), ((0, 0), True), ((0.2, 0), False)):
        axis = read(answer(UPRIGHT, arrows=arrows)).spike.axis
        assert bool(axis[-1, 0] < axis[0, 0]) is tip_up, arrows


def test_a_bent_spike_has_a_bent_axis():
    parts = [
        ((100.0, 40.0), (80.0, 42.0), 12.0), ((80.0, 42.0), (60.0, 48.0), 12.0),
        ((60.0, 48.0), (40.0, 58.0), 12.0), ((40.0, 58.0), (25.0, 70.0), 12.0),
    ]  # fmt: skip
    axis = read(answer(*parts, arrows=(-0.93, 0.37))).spike.axis
    for base, _, _ in parts[1:]:
        assert np.hypot(*(axis - in_photo(base)).T).min() < 2.5 * 31


def test_the_scale_is_that_of_the_photo_with_widened_bounds():
    scale = read(answer(UPRIGHT, deviation=0.08), scale_widening=2.5).scale
    assert scale.px_per_mm == pytest.approx(SCALE, rel=1e-4)
    assert scale.low == pytest.approx(SCALE * np.exp(-0.2), rel=1e-3)
    assert scale.high == pytest.approx(SCALE * np.exp(0.2), rel=1e-3)


def test_a_scale_beyond_all_sense_is_still_a_scale():
    given = answer(UPRIGHT)
    given["maps"][0, 2:4] = 300.0
    scale = read(given).scale
    assert 0 < scale.low < scale.px_per_mm < scale.high < np.inf


def test_no_spike_when_the_whole_says_so_or_no_cell_does():
    assert read(answer(UPRIGHT, whole=(-1, -8, -8, -8, -8))) is None
    assert read(answer()) is None
    assert read(answer(((60.0, 40.0), (63.0, 40.0), 2.0))) is None  # far too small


@pytest.mark.parametrize("blurred", [(8, -8), (-8, 8)])
def test_a_photo_out_of_focus_or_moved_is_not_clear(blurred):
    given = answer(UPRIGHT)
    given["globals"][0, 5:7] = -8
    assert read(given).clear
    given["globals"][0, 5:7] = blurred
    assert not read(given).clear


def test_whole_photo_judgements_are_told():
    reading = read(answer(UPRIGHT, whole=(8, 8, 8, 8, 8)))
    assert reading.spike.cut_off
    assert reading.not_prepared
    assert reading.other_spikes == 1
    assert reading.spike.hidden_share == pytest.approx(THRESHOLDS.occluded_share)


def test_other_spikes_are_counted_when_there_are_several():
    beside = (np.add(BASE, (0, 24)), np.add(TIP, (0, 24)), 11.0)
    stranger = ((100.0, 20.0), (30.0, 14.0), 11.0)
    several = (8, 8, -8, -8, -8)
    assert read(answer(UPRIGHT, beside, other=stranger, whole=several)).other_spikes == 2
    assert read(answer(UPRIGHT, beside, other=stranger)).other_spikes == 0
    alone = read(answer(UPRIGHT)).spike
    np.testing.assert_allclose(
        read(answer(UPRIGHT, beside, whole=several)).spike.axis, alone.axis, atol=1
    )


def test_what_lies_over_the_middle_is_hidden_and_both_parts_are_the_spike():
    below, above = ((105.0, 48.0), (75.0, 48.0), 12.0), ((53.0, 48.0), (15.0, 48.0), 12.0)
    spike = read(answer(below, above)).spike
    assert spike.axis[0, 0] > in_photo((100, 48))[0]
    assert spike.axis[-1, 0] < in_photo((20, 48))[0]
    # bars end round, half a width beyond their ends: 10 cells of 102 stay empty
    assert spike.hidden_share == pytest.approx(10 / 102, abs=0.03)
    assert len(spike.outline) >= 4


def test_a_spike_at_the_edge_is_cut_off():
    spike = read(answer(((127.0, 48.0), (40.0, 48.0), 12.0))).spike
    assert spike.cut_off
    side = read(answer(((100.0, 2.0), (40.0, 2.0), 12.0))).spike
    assert side.cut_off


def test_a_square_photo_of_odd_size_is_read_in_its_own_pixels():
    place = Letterbox(512, 512, 512 / 700, 512 / 701)
    axis = read(answer(UPRIGHT), place).spike.axis
    assert 700 * 95 / 128 < axis[0, 0] < 700
