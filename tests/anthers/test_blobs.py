"""Patches: yellow, pale and green ones of known size are proposed; lines, specks and walls not."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.anthers.blobs import Blob, Look, find_blobs, strip_colours
from spikecheck.thresholds import load_thresholds
from tests.anthers.drawing import (
    CAVITY,
    EVERYWHERE,
    GREEN,
    NOWHERE,
    PALE,
    TISSUE,
    YELLOW,
    area_mm2,
    ellipse,
    tissue,
)

LIMITS = load_thresholds().anthers
CENTRE = (200.0, 150.0)
OPENING = ellipse(CENTRE, 6.0, 5.0)


def blobs_in(
    lab: np.ndarray, *, spike: np.ndarray = EVERYWHERE, openings: np.ndarray = OPENING
) -> tuple[Blob, ...]:
    return find_blobs(strip_colours(lab, spike, spike), spike, openings, thresholds=LIMITS)


def painted(colour, *masks: np.ndarray) -> np.ndarray:
    lab = tissue()
    if colour is GREEN:  # a green anther shows against the cavity behind it
        lab[OPENING] = CAVITY
    for mask in masks:
        lab[mask] = colour
    return lab


LOOKS = [(YELLOW, Look.YELLOW), (PALE, Look.PALE), (GREEN, Look.GREEN)]


@pytest.mark.parametrize(("colour", "look"), LOOKS, ids=[look for _, look in LOOKS])
@pytest.mark.parametrize(("length_mm", "width_mm"), [(2.6, 0.8), (1.4, 0.7), (3.4, 1.0)])
@pytest.mark.parametrize("turn", [0, 35, 90])
def test_a_patch_is_proposed_with_its_look_place_and_area(colour, look, length_mm, width_mm, turn):
    mask = ellipse(CENTRE, length_mm, width_mm, turn_deg=turn)
    (blob,) = blobs_in(painted(colour, mask))
    assert blob.look is look
    assert (blob.rows.mean(), blob.columns.mean()) == pytest.approx(CENTRE, abs=1)
    found = np.zeros_like(mask)
    found[blob.rows, blob.columns] = True
    # an edge of one pixel all round is in doubt
    edge = np.pi * (length_mm + width_mm) / 2 / 20
    assert area_mm2(found) == pytest.approx(area_mm2(mask), abs=1.5 * edge)
    assert (found & mask).sum() > 0.85 * found.sum()


@pytest.mark.parametrize(("colour", "look"), LOOKS, ids=[look for _, look in LOOKS])
def test_thin_lines_are_rims_and_stigmas(colour, look):
    line = ellipse(CENTRE, 4.0, 0.25)
    assert blobs_in(painted(colour, line)) == ()


@pytest.mark.parametrize(("colour", "look"), LOOKS[:2], ids=[look for _, look in LOOKS[:2]])
def test_specks_and_whole_walls_are_too_small_and_too_large(colour, look):
    assert blobs_in(painted(colour, ellipse(CENTRE, 0.42, 0.42))) == ()
    wall = ellipse(CENTRE, 6.0, 2.0)
    assert area_mm2(wall) > LIMITS.area_high_mm2
    assert blobs_in(painted(colour, wall)) == ()


def test_the_least_and_the_greatest_area_are_those_of_the_thresholds():
    lab = painted(YELLOW, mask := ellipse(CENTRE, 2.6, 0.8))
    colours, area = strip_colours(lab, EVERYWHERE, EVERYWHERE), area_mm2(mask)
    for low, high, count in ((0.5, 1.5, 1), (1.3, 1.5, 0), (0.5, 0.7, 0)):
        limits = replace(LIMITS, area_low_mm2=low * area, area_high_mm2=high * area)
        assert len(find_blobs(colours, EVERYWHERE, OPENING, thresholds=limits)) == count


def test_even_tissue_and_its_glints_and_drops_are_none():
    assert blobs_in(tissue()) == ()
    patch = ellipse(CENTRE, 2.0, 0.9)
    glint = (TISSUE[0] + 25, TISSUE[1], TISSUE[2])  # lighter, of the tissue's own hue
    drop = (TISSUE[0] + 25, 0.5, 1.5)  # nearly colourless, of a yellow hue
    for colour in (glint, drop):
        assert blobs_in(painted(colour, patch), openings=NOWHERE) == ()


def test_a_green_patch_counts_only_in_or_near_an_opening():
    near = ellipse((200.0, 150.0), 2.6, 0.8)
    far = ellipse((350.0, 150.0), 2.6, 0.8)
    lab = tissue()
    lab[near | far] = GREEN
    (blob,) = blobs_in(lab)
    assert blob.rows.mean() == pytest.approx(200, abs=2)
    assert blobs_in(lab, openings=NOWHERE) == ()


def test_a_wide_pale_wall_in_an_opening_is_no_green_anther():
    lab = painted(GREEN, ellipse(CENTRE, 4.5, 2.6))
    assert all(blob.look is not Look.GREEN for blob in blobs_in(lab))


def test_beside_the_spike_a_patch_counts_up_to_three_millimetres_away():
    spike = NOWHERE.copy()
    spike[:, :120] = True
    near, far = ellipse((100.0, 150.0), 2.6, 0.8, turn_deg=90), ellipse((300.0, 270.0), 2.6, 0.8)
    (blob,) = blobs_in(painted(YELLOW, near, far), spike=spike, openings=NOWHERE)
    assert blob.columns.mean() == pytest.approx(150, abs=2)


@given(a=st.floats(-5, 5), b=st.floats(-5, 5))
@settings(max_examples=15, deadline=None)
def test_a_cast_over_the_whole_strip_shifts_both_alike(a, b):
    """What the white balance left of the light's colour does not hide a yellow anther."""
    mask = ellipse(CENTRE, 2.6, 0.8)
    lab = painted(YELLOW, mask) + np.array([0, a / 5, b], np.float32)
    (blob,) = blobs_in(lab, openings=NOWHERE)
    assert blob.look is Look.YELLOW


def test_the_tissues_colour_is_the_median_of_plant_on_the_spike():
    lab = painted(YELLOW, ellipse(CENTRE, 4.0, 2.0))
    plant, spike = EVERYWHERE.copy(), EVERYWHERE.copy()
    plant[:180] = spike[:, :150] = False
    lab[:180] = lab[:, :150] = (90.0, 0.0, 0.0)
    own = strip_colours(lab, plant, spike).tissue
    assert (own.lightness, own.b) == pytest.approx((TISSUE[0], TISSUE[2]), abs=0.2)
    assert own.chroma == pytest.approx(np.hypot(TISSUE[1], TISSUE[2]), abs=0.2)
    assert own.hue_deg == pytest.approx(np.degrees(np.arctan2(TISSUE[2], TISSUE[1])), abs=0.2)


def test_without_tissue_the_whole_strip_speaks():
    colours = strip_colours(tissue(), NOWHERE, NOWHERE)
    assert colours.tissue.lightness == pytest.approx(TISSUE[0], abs=0.2)
    assert blobs_in(painted(YELLOW, ellipse(CENTRE, 2.6, 0.8)), spike=NOWHERE) == ()
