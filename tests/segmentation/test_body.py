"""Bodies: drawn spikes keep their size, lose stem and awns, are joined across a finger."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.imaging.morphology import dilated
from spikecheck.segmentation.body import find_bodies
from spikecheck.thresholds import load_thresholds
from tests.segmentation.drawing import spike_mask

LIMITS = load_thresholds().segmentation


def bodies(plant: np.ndarray):
    return find_bodies(plant, thresholds=LIMITS)


@given(direction=st.floats(0, 360), length=st.floats(340, 460), width=st.floats(70, 110))
@settings(max_examples=15, deadline=None)
def test_a_spike_keeps_its_size_whichever_way_it_points(direction, length, width):
    plant = spike_mask(
        size=(1100, 1100), centre=(550, 550), length=length, width=width, direction_deg=direction
    )
    (body,) = bodies(plant)
    assert body.width_px == pytest.approx(width, abs=6)
    assert body.length_px == pytest.approx(length, rel=0.12)
    along = np.array([-np.sin(np.radians(direction)), np.cos(np.radians(direction))])
    towards = (body.ends[1] - body.ends[0]) / body.length_px
    assert abs(along @ towards) > 0.995
    assert body.hidden_share == 0


def test_awns_and_stem_are_dropped():
    bare, whole = spike_mask(awns=False, stem=0), spike_mask()
    (body,) = bodies(whole)
    assert (whole & ~bare).sum() > 0.15 * bare.sum()  # there is something to drop
    assert (body.mask & ~bare).sum() < 0.05 * bare.sum()
    assert (body.mask & bare).sum() > 0.93 * bare.sum()


def test_gaps_between_spikelets_are_closed():
    """Spikelets on both sides in turn, joined by a thin rachis: one body of the whole width."""
    plant = spike_mask(awns=False, stem=0)
    whole = plant.sum()
    for side, first in ((np.s_[255:295], 160), (np.s_[305:345], 190)):
        for row in range(first, 540, 60):
            plant[row : row + 18, side] = False
    assert plant.sum() < 0.85 * whole
    (body,) = bodies(plant)
    assert body.mask.sum() > 0.88 * whole


@pytest.mark.parametrize("bar", [40, 80])
def test_what_a_bar_across_cut_in_two_is_one_body_with_a_hidden_share(bar):
    plant = spike_mask(awns=False)
    plant[350 - bar // 2 : 350 + bar // 2] = False
    (body,) = bodies(plant)
    assert body.length_px == pytest.approx(420, rel=0.1)
    # opening rounds off the cut ends, so a little more than the bar seems hidden
    assert bar / 420 - 0.01 < body.hidden_share < (bar + 40) / 420


def test_two_spikes_side_by_side_are_two_bodies_the_longer_first():
    one = spike_mask(centre=(350, 180), length=420)
    other = spike_mask(centre=(350, 420), length=330)
    longer, shorter = bodies(one | other)
    assert longer.ends[:, 1].mean() == pytest.approx(180, abs=10)
    assert shorter.ends[:, 1].mean() == pytest.approx(420, abs=10)
    assert longer.length_px > shorter.length_px


def test_two_ends_far_apart_in_one_line_are_two_bodies():
    one = spike_mask(size=(1400, 600), centre=(250, 300), length=330, awns=False, stem=0)
    other = spike_mask(size=(1400, 600), centre=(1000, 300), length=330, awns=False, stem=0)
    assert len(bodies(one | other)) == 2


def test_in_a_canopy_no_body_is_told_apart():
    """Even a spike that stands free of what is round it: there may be many more."""
    spike = spike_mask(awns=False, stem=0)
    plant = spike | ~dilated(spike, 12)
    assert plant.mean() > LIMITS.plant_share_high
    assert bodies(plant) == ()
    found = find_bodies(plant, thresholds=replace(LIMITS, plant_share_high=1.0))
    assert any(body.length_px == pytest.approx(420, rel=0.1) for body in found)


def test_round_and_threadlike_things_and_specks_are_no_bodies():
    round_one = spike_mask(length=200, width=200, stem=0, awns=False)
    thread = spike_mask(
        size=(900, 600), centre=(450, 300), length=800, width=30, awns=False, stem=0
    )
    speck = spike_mask(length=30, width=8, stem=0, awns=False)
    for plant in (round_one, thread, speck, np.zeros((800, 600), dtype=bool)):
        assert bodies(plant) == ()


def test_a_body_at_the_edge_of_the_picture_keeps_its_width():
    plant = spike_mask(centre=(800, 300), awns=False, stem=0)
    (body,) = bodies(plant)
    assert body.width_px == pytest.approx(80, abs=6)
    assert body.mask[-1].any()
