"""One photo judged as a whole."""

from __future__ import annotations

import dataclasses
import math

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.photo import judge_quality
from spikecheck.vocabulary import Photo, QualityProblem, Spike


@pytest.fixture(scope="session")
def judged(found, quality):
    def judge(pixels, **changes):
        photo = Photo("a", "0" * 64, np.ascontiguousarray(pixels))
        return judge_quality(photo, found(pixels, **changes), thresholds=quality)

    return judge


@pytest.fixture(scope="session")
def sharp(leafy):
    return cv2.GaussianBlur(leafy(900, 360, seed=2), (0, 0), 0.6)


def test_a_good_photo_is_usable(sharp, judged):
    quality = judged(sharp)
    assert quality.problems == ()
    assert quality.usable
    names = "blur_sigma_mm mtf50_cycles_per_px smear_mm median_lightness burnt_share"
    assert set(names.split()) <= set(quality.measures)


def test_out_of_focus(sharp, judged):
    quality = judged(cv2.GaussianBlur(sharp, (0, 0), 5))
    assert quality.problems == (QualityProblem.DEFOCUS,)
    assert not quality.usable


def test_the_same_blur_in_px_is_fine_in_a_larger_photo(sharp, judged):
    """2 px of blur hide an anther at 14 px/mm and nothing at 45: millimetres decide."""
    blurred = cv2.GaussianBlur(sharp, (0, 0), 2.2)
    assert QualityProblem.DEFOCUS not in judged(blurred, px_per_mm=45).problems
    assert QualityProblem.DEFOCUS in judged(blurred, px_per_mm=14).problems


def test_a_few_blurred_tiles_are_believed_unless_the_finder_takes_the_photo_for_clear(
    sharp, judged
):
    partly = sharp.copy()
    partly[:260] = cv2.GaussianBlur(sharp, (0, 0), 5)[:260]
    share = judged(partly).measures["blurred_share"]
    assert 0.1 < share < 0.4
    assert judged(partly).problems == (QualityProblem.DEFOCUS,)
    assert judged(partly, clear=True).problems == ()
    wholly = cv2.GaussianBlur(sharp, (0, 0), 5)
    assert judged(wholly, clear=True).problems == (QualityProblem.DEFOCUS,)


def test_smeared_is_told_from_out_of_focus(sharp, judged):
    kernel = np.full((1, 19), 1 / 19, np.float32)
    assert judged(cv2.filter2D(sharp, -1, kernel)).problems == (QualityProblem.MOTION,)


def test_dark_and_overexposed(sharp, judged):
    assert judged(sharp // 6).problems == (QualityProblem.DARK,)
    burnt = np.clip(sharp.astype(int) * 3, 0, 255).astype(np.uint8)
    assert QualityProblem.OVEREXPOSED in judged(burnt).problems


def test_no_spike_tells_darkness_as_a_likely_cause(sharp, judged):
    assert judged(sharp, spike=None).problems == (QualityProblem.NO_SPIKE,)
    quality = judged(sharp // 20, spike=None)
    assert quality.problems == (QualityProblem.NO_SPIKE, QualityProblem.DARK)
    assert not quality.usable
    assert set(quality.measures) == {
        "other_spikes_count", "scale_px_per_mm", "scale_low_px_per_mm",
        "photo_median_lightness", "photo_burnt_share",
    }  # fmt: skip


def test_no_spike_tells_burnt_out_areas_as_a_likely_cause(sharp, judged):
    burnt = sharp.copy()
    burnt[:, :30] = 255
    quality = judged(burnt, spike=None)
    assert quality.problems == (QualityProblem.NO_SPIKE, QualityProblem.OVEREXPOSED)


def test_an_uncertain_scale_counts_against_the_photo(sharp, judged):
    blurred = cv2.GaussianBlur(sharp, (0, 0), 2.6)
    assert judged(blurred, px_per_mm=32, low=31).problems == ()
    assert judged(blurred, px_per_mm=32, low=16).problems == (QualityProblem.DEFOCUS,)


def test_problems_come_in_the_order_of_the_contract(sharp, judged):
    quality = judged(sharp // 6, px_per_mm=5, cut_off=True, hidden_share=0.5, other_spikes=2)
    order = list(QualityProblem)
    assert list(quality.problems) == sorted(quality.problems, key=order.index)
    assert len(quality.problems) >= 5


def test_without_a_scale_blur_is_reckoned_unfavourably(leafy, judged):
    long = cv2.GaussianBlur(leafy(1900, 200), (0, 0), 0.6)
    assert judged(long, px_per_mm=None).problems == ()
    blurred = judged(cv2.GaussianBlur(long, (0, 0), 4), px_per_mm=None)
    assert QualityProblem.DEFOCUS in blurred.problems


@pytest.mark.parametrize("turns", [1, 2, 3])
def test_turning_photo_and_findings_changes_no_problem(turns, sharp, found, judged, quality):
    mixed = sharp.copy()
    mixed[:300] = cv2.GaussianBlur(sharp, (0, 0), 5)[:300]
    straight = judged(mixed)
    findings = found(mixed)
    outline, axis = findings.spike.outline, findings.spike.axis
    rows, columns = mixed.shape[:2]
    for _ in range(turns):
        outline, axis = (
            np.stack([columns - 1 - points[:, 1], points[:, 0]], axis=1)
            for points in (outline, axis)
        )
        rows, columns = columns, rows
    turned = judge_quality(
        Photo("a", "0" * 64, np.ascontiguousarray(np.rot90(mixed, turns))),
        dataclasses.replace(findings, spike=Spike(outline, axis, cut_off=False, hidden_share=0)),
        thresholds=quality,
    )
    assert turned.problems == straight.problems == (QualityProblem.DEFOCUS,)
    for name in ("blur_sigma_mm", "blurred_share", "median_lightness"):
        assert turned.measures[name] == pytest.approx(straight.measures[name], rel=0.1, abs=0.02)


def test_mirroring_changes_no_problem(sharp, judged):
    blurred = cv2.GaussianBlur(sharp, (0, 0), 4)
    straight, mirrored = judged(blurred), judged(blurred[:, ::-1])
    assert mirrored.problems == straight.problems
    assert mirrored.measures["blur_sigma_mm"] == pytest.approx(
        straight.measures["blur_sigma_mm"], rel=0.05
    )


@given(gain=st.floats(0.35, 1.1))
@settings(max_examples=10, deadline=None)
def test_sharpness_does_not_depend_on_brightness(gain, sharp, judged):
    blurred = cv2.GaussianBlur(sharp, (0, 0), 3)
    dimmed = np.rint(blurred * gain).clip(0, 255).astype(np.uint8)
    assert judged(dimmed).measures["blur_sigma_mm"] == pytest.approx(
        judged(blurred).measures["blur_sigma_mm"], rel=0.08
    )


places = st.floats(-500, 1500, allow_nan=False)
polygons = st.lists(st.tuples(places, places), min_size=3, max_size=8)
lines = st.lists(st.tuples(places, places), min_size=2, max_size=4)


@given(points=st.tuples(polygons, lines), px_per_mm=st.none() | st.floats(0.01, 900))
@settings(max_examples=60, deadline=None)
def test_no_finding_is_too_strange(points, px_per_mm, sharp, found, quality):
    outline, axis = (np.array(part, float) for part in points)
    findings = found(sharp, px_per_mm=px_per_mm)
    spike = Spike(outline, axis, cut_off=False, hidden_share=0)
    photo = Photo("a", "0" * 64, sharp)
    result = judge_quality(photo, dataclasses.replace(findings, spike=spike), thresholds=quality)
    assert result.usable == (not result.problems)
    assert all(math.isfinite(value) for value in result.measures.values())


def test_a_spike_outside_the_frame_is_too_small(sharp, found, quality):
    outline = np.array([[2000, 2000], [2000, 2100], [2900, 2050.0]])
    axis = np.array([[2900, 2050], [2000, 2050.0]])
    spike = Spike(outline, axis, cut_off=True, hidden_share=0)
    findings = dataclasses.replace(found(sharp), spike=spike)
    result = judge_quality(Photo("a", "0" * 64, sharp), findings, thresholds=quality)
    assert result.problems == (QualityProblem.TOO_SMALL, QualityProblem.CUT_OFF)
