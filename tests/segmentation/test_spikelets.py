"""Rows of spikelets: what repeats is told from what does not, and at its own distance."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.segmentation.spikelets import SpikeletRows, spikelet_rows, unclipped_places
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import Side
from tests.segmentation.drawing import plain_strip

LIMITS = load_thresholds().segmentation
STRIP = plain_strip()
ROWS = np.arange(1000.0)[:, None]


def rows_of(lightness: np.ndarray, strip=STRIP) -> SpikeletRows:
    lab = np.zeros((*lightness.shape, 3), np.float32)
    lab[..., 0] = lightness
    return spikelet_rows(lab, strip, thresholds=LIMITS)


@given(spacing=st.integers(80, 160), phase=st.floats(0, 1))
@settings(max_examples=10, deadline=None)
def test_what_repeats_is_found_at_its_distance(spacing, phase):
    wave = 60 + 15 * np.cos(2 * np.pi * (ROWS / spacing + phase))
    found = rows_of(np.tile(wave, (1, 361)))
    assert found.strength > 0.9
    # a multiple of the distance repeats as well
    off = found.spacing_px / spacing
    assert off == pytest.approx(round(off), abs=0.04)


def test_left_and_right_in_turn_repeat_too():
    """Neighbours of one side lie a distance apart; the other side stands halfway between."""
    wave = 15 * np.cos(2 * np.pi * ROWS / 120)
    sides = np.where(np.arange(361) < 180, wave, -wave)
    found = rows_of(60 + sides)
    assert found.strength > 0.8
    assert found.spacing_px % 120 == pytest.approx(0, abs=4) or found.spacing_px == pytest.approx(
        120, abs=4
    )


@pytest.mark.parametrize(
    "lightness",
    [
        np.tile(40 + 0.03 * ROWS, (1, 361)),
        np.tile(60 + 15 * np.sin(np.pi * ROWS / 1000), (1, 361)),
        np.full((1000, 361), 50.0),
    ],
    ids=["gradient", "bulge", "even"],
)
def test_smooth_shading_does_not_repeat(lightness):
    assert abs(rows_of(lightness).strength) < 0.1


def test_noise_repeats_far_less_than_spikelets():
    noise = np.random.default_rng(2).normal(50, 10, (1000, 361))
    assert rows_of(noise).strength < LIMITS.spikelet_strength


def test_a_short_strip_says_nothing():
    short = plain_strip(rows=400)
    found = rows_of(np.tile(60 + 15 * np.cos(2 * np.pi * ROWS[:400] / 100), (1, 361)), short)
    assert found.strength == 0


@given(spacing=st.floats(70, 240), offset=st.floats(10, 80))
def test_one_place_a_spikelet_from_base_to_tip_on_both_sides(spacing, offset):
    places = unclipped_places(SpikeletRows(0.5, spacing), STRIP, offset_px=offset)
    for side, sign in ((Side.LEFT, -1), (Side.RIGHT, 1)):
        own = [place for place in places if place.side is side]
        assert len(own) == int(899 / spacing)
        assert {place.column for place in own} == {180 + sign * offset}
        rows = np.array([place.row for place in own])
        assert np.diff(rows) == pytest.approx(np.full(len(own) - 1, -899 / len(own)))
        assert STRIP.tip_row < rows.min()
        assert rows.max() < STRIP.base_row
    assert not any(place.clipped or place.cavity_seen or place.opening for place in places)
