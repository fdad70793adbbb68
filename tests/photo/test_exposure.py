"""Light on the spike, not on what lies around it."""

from __future__ import annotations

import dataclasses

import colour
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.photo import judge_quality
from spikecheck.photo.exposure import photo_exposure
from spikecheck.vocabulary import Photo, QualityProblem, Spike


def _photo(pixels):
    return Photo("a", "0" * 64, np.ascontiguousarray(pixels))


def _even(code, rows=200, columns=150):
    return np.full((rows, columns, 3), code, np.uint8)


@pytest.mark.parametrize("code", [10, 60, 119, 200, 255])
def test_lightness_against_colour_science(code, quality):
    """CIE L* of an sRGB grey: colour-science, sRGB to XYZ to Lab."""
    grey = np.full(3, code / 255)
    expected = colour.XYZ_to_Lab(colour.sRGB_to_XYZ(grey))[0]
    found = photo_exposure(_photo(_even(code)), thresholds=quality).median_lightness
    assert found == pytest.approx(expected, abs=0.5)


@given(factors=st.tuples(st.floats(0.02, 1.5), st.floats(0.02, 1.5)))
@settings(max_examples=20, deadline=None)
def test_more_light_is_never_darker(factors, leafy, quality):
    picture = leafy(120, 90).astype(float)
    dim, bright = sorted(factors)
    low, high = (
        photo_exposure(
            _photo(np.clip(picture * factor, 0, 255).astype(np.uint8)), thresholds=quality
        )
        for factor in (dim, bright)
    )
    assert low.median_lightness <= high.median_lightness
    assert low.burnt_share <= high.burnt_share
    assert low.is_dark(quality) or not high.is_dark(quality)
    assert high.is_overexposed(quality) or not low.is_overexposed(quality)


def _narrow(findings, pixels):
    """The same findings with a spike over the middle third only."""
    rows, columns = pixels.shape[:2]
    left, right = columns / 3, 2 * columns / 3
    outline = np.array([[8, left], [8, right], [rows - 8, right], [rows - 8, left]])
    axis = np.array([[rows - 8, columns / 2], [8, columns / 2]])
    return dataclasses.replace(findings, spike=Spike(outline, axis, cut_off=False, hidden_share=0))


@pytest.mark.parametrize("around", [0, 255])
def test_the_background_does_not_count(around, leafy, found, quality):
    pixels = leafy(600, 600)
    pixels[:, :190] = pixels[:, 410:] = around
    judged = judge_quality(_photo(pixels), _narrow(found(pixels), pixels), thresholds=quality)
    assert QualityProblem.DARK not in judged.problems
    assert QualityProblem.OVEREXPOSED not in judged.problems
    assert judged.measures["burnt_share"] == 0


def test_a_dark_spike_before_a_white_sheet(leafy, found, quality):
    pixels = np.full((600, 600, 3), 255, np.uint8)
    pixels[:, 190:410] = leafy(600, 220) // 5
    judged = judge_quality(_photo(pixels), _narrow(found(pixels), pixels), thresholds=quality)
    assert QualityProblem.DARK in judged.problems


def test_one_burnt_out_part_is_enough(leafy, found, quality):
    pixels = leafy(900, 300)
    pixels[8:140][:, ::5] = pixels[8:140][:, 1::5] = (255, 255, 190)
    judged = judge_quality(_photo(pixels), found(pixels), thresholds=quality)
    assert QualityProblem.OVEREXPOSED in judged.problems
    assert judged.measures["burnt_share"] < quality.largest_burnt_share


def test_one_black_part_is_enough(leafy, found, quality):
    pixels = leafy(900, 300)
    pixels[:200] //= 12
    judged = judge_quality(_photo(pixels), found(pixels), thresholds=quality)
    assert QualityProblem.DARK in judged.problems
    assert judged.measures["median_lightness"] > quality.least_lightness


def test_burnt_out_is_told_instead_of_out_of_focus(found, quality):
    judged = judge_quality(_photo(_even(255, 600, 300)), found(_even(255, 600, 300)),
                           thresholds=quality)  # fmt: skip
    assert judged.problems == (QualityProblem.OVEREXPOSED,)
