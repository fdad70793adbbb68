"""Grey steps: what they correct ends neutral, and what contradicts itself is refused."""

from __future__ import annotations

import numpy as np
import pytest

from spikecheck.imaging.colour import chroma, colour_difference, lab_from_srgb
from spikecheck.tag_reading import correct_colour, read_tags
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import ColourCorrection
from tests.tag_reading.scenes import photo_of_tag, scene_of

LIMITS = load_thresholds().tags


def correction_in(scene):
    photo, truth = photo_of_tag(scene)
    (tag,) = read_tags(photo, thresholds=LIMITS)
    assert tag.code == truth.code
    return photo, tag.correction


@pytest.mark.parametrize("cast", [(1.0, 1.0, 1.0), (1.2, 1.0, 0.7), (0.7, 1.0, 1.15)])
def test_the_gains_are_those_of_the_light(cast):
    _, correction = correction_in(scene_of(1, cast=cast))
    assert correction.steps == 7
    assert correction.gains == pytest.approx([cast[1] / one for one in cast], rel=0.03)
    assert correction.gains[1] == 1


def test_a_corrected_photo_is_as_under_neutral_light():
    plain, _ = photo_of_tag(scene_of(1))
    cast, correction = correction_in(scene_of(1, cast=(0.9, 0.8, 0.5)))
    corrected = correct_colour(cast, correction)
    before, after = (np.median(lab_from_srgb(each), axis=(0, 1)) for each in (cast, corrected))
    assert chroma(after) < chroma(before)
    lab = lab_from_srgb(plain).reshape(-1, 3)[::997].astype(float)
    lab[:, 1:], taken = lab[:, 1:], lab_from_srgb(corrected).reshape(-1, 3)[::997].astype(float)
    lab[:, 0], taken[:, 0] = 50, 50  # lightness stays as taken
    assert np.median(colour_difference(lab, taken)) < 3


def test_a_spot_of_dirt_on_a_step_does_no_harm():
    photo, truth = photo_of_tag(scene_of(2, turned_deg=0, tilt_deg=0))
    for number in (1, 3, 5):
        photo = painted(photo, truth.corners, number, (60, 40, 20), share=0.3, start=0.35)
    (tag,) = read_tags(photo, thresholds=LIMITS)
    assert tag.correction.steps == 7
    assert tag.correction.gains == pytest.approx([1, 1, 1], rel=0.03)


def test_covered_steps_are_left_out():
    _, correction = correction_in(scene_of(2, covered_share=0.35, turned_deg=0))
    assert 4 <= correction.steps < 7
    assert correction.gains == pytest.approx([1, 1, 1], rel=0.03)


def test_too_few_steps_are_refused():
    _, correction = correction_in(scene_of(2, covered_share=0.6, turned_deg=0))
    assert correction is None


def painted(photo, outline, number, colour, *, share=1.0, start=0.0):
    """Paint one grey step of an unturned tag, or a share of its width from ``start``."""
    import cv2

    from spikecheck.vocabulary.tag_layout import TAG_HEIGHT_MM, TAG_WIDTH_MM, grey_step

    (top, left), (bottom, right) = outline[0], outline[2]
    step = grey_step(number)
    rows = top + np.array([step.top + 0.4, step.bottom - 0.4]) / TAG_HEIGHT_MM * (bottom - top)
    columns = left + (step.left + 0.4 + 9.2 * np.array([start, start + share])) / TAG_WIDTH_MM * (
        right - left
    )
    corners = [(round(columns[0]), round(rows[0])), (round(columns[1]), round(rows[1]))]
    return cv2.rectangle(photo.copy(), *corners, colour, -1)


def test_steps_that_contradict_each_other_are_refused():
    photo, truth = photo_of_tag(scene_of(2, turned_deg=0, tilt_deg=0))
    for colour in ((150, 90, 30), (40, 120, 60)):
        dirty = painted(photo, truth.corners, 4, colour)
        (tag,) = read_tags(dirty, thresholds=LIMITS)
        assert tag.correction is None


def test_glare_over_the_dark_steps_loses_their_order_and_is_refused():
    photo, truth = photo_of_tag(scene_of(2, turned_deg=0, tilt_deg=0))
    for number in (0, 2, 4):
        photo = painted(photo, truth.corners, number, (246, 246, 246))
    (tag,) = read_tags(photo, thresholds=LIMITS)
    assert tag.correction is None


def test_correcting_leaves_the_photo_alone_and_changes_nothing_with_gains_of_one():
    photo, _ = photo_of_tag(scene_of(1))
    before = photo.copy()
    same = correct_colour(photo, ColourCorrection((1.0, 1.0, 1.0), 0.0, 7))
    other = correct_colour(photo, ColourCorrection((1.2, 1.0, 0.8), 0.0, 7))
    assert np.array_equal(same, before)
    assert np.array_equal(photo, before)
    assert np.array_equal(other[..., 1], photo[..., 1])
    assert (other[..., 0] >= photo[..., 0]).all()
    assert (other[..., 2] <= photo[..., 2]).all()
