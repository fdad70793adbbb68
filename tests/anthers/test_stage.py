"""Stage by colour: the stages' own colours, the ripest for what fits none, no ripening back."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.anthers.stage import anther_stage
from spikecheck.imaging.colour import colour_difference, lab_from_srgb
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import AntherStage

LIMITS = load_thresholds().anthers
OWN = {
    AntherStage.GREEN: np.array([LIMITS.green_l, LIMITS.green_a, LIMITS.green_b]),
    AntherStage.YELLOW: np.array([LIMITS.yellow_l, LIMITS.yellow_a, LIMITS.yellow_b]),
    AntherStage.DEHISCED: np.array([LIMITS.dehisced_l, LIMITS.dehisced_a, LIMITS.dehisced_b]),
}
RIPENESS = list(OWN)
COLOURS = st.tuples(st.floats(0, 100), st.floats(-80, 80), st.floats(-80, 90)).map(np.array)


def stage_of(lab: np.ndarray) -> tuple[AntherStage, bool]:
    return anther_stage(lab, thresholds=LIMITS)


def green_of_hue(hue_deg: float) -> np.ndarray:
    own = OWN[AntherStage.GREEN]
    chroma, hue = np.hypot(*own[1:]), np.radians(hue_deg)
    return np.array([own[0], chroma * np.cos(hue), chroma * np.sin(hue)])


@pytest.mark.parametrize("stage", AntherStage)
def test_the_stages_own_colours_are_their_stages(stage):
    assert stage_of(OWN[stage]) == (stage, stage is not AntherStage.GREEN)


@given(
    stage=st.sampled_from(AntherStage),
    shift=st.tuples(*[st.floats(-2, 2)] * 3).map(np.array),
)
def test_a_colour_near_a_stages_own_is_of_that_stage(stage, shift):
    assert stage_of(OWN[stage] + shift)[0] is stage


@pytest.mark.parametrize(
    "rgb", [(120, 40, 130), (150, 40, 60), (90, 20, 40)], ids=["purple", "red", "maroon"]
)
def test_purple_and_red_anthers_are_taken_for_the_ripest(rgb):
    lab = lab_from_srgb(np.array([[rgb]], np.uint8))[0, 0].astype(np.float64)
    assert min(colour_difference(lab, own) for own in OWN.values()) > LIMITS.unlike_any_stage
    assert stage_of(lab) == (AntherStage.DEHISCED, True)


def test_a_green_anther_that_turns_yellow_green_is_near_anthesis():
    limit = LIMITS.yellow_green_hue_deg
    assert stage_of(green_of_hue(limit + 0.5)) == (AntherStage.GREEN, False)
    assert stage_of(green_of_hue(limit - 0.5)) == (AntherStage.GREEN, True)


@given(lab=COLOURS)
def test_only_what_is_like_a_green_anther_and_clearly_green_is_far_from_anthesis(lab):
    stage, near_anthesis = stage_of(lab)
    if not near_anthesis:
        assert stage is AntherStage.GREEN
        assert colour_difference(lab, OWN[AntherStage.GREEN]) <= LIMITS.unlike_any_stage
        assert np.degrees(np.arctan2(lab[2], lab[1])) % 360 >= LIMITS.yellow_green_hue_deg


@given(one=st.floats(0, 2), other=st.floats(0, 2))
def test_on_the_way_from_green_over_yellow_to_pale_nothing_ripens_back(one, other):
    def on_the_way(place: float) -> tuple[int, bool]:
        start = min(int(place), 1)
        lab = OWN[RIPENESS[start]] + (place - start) * (
            OWN[RIPENESS[start + 1]] - OWN[RIPENESS[start]]
        )
        stage, near_anthesis = stage_of(lab)
        return RIPENESS.index(stage), near_anthesis

    assert on_the_way(min(one, other)) <= on_the_way(max(one, other))


@given(one=st.floats(92, 140), other=st.floats(92, 140))
def test_a_yellower_hue_never_makes_a_green_anther_less_ripe(one, other):
    (less, less_near), (more, more_near) = (
        stage_of(green_of_hue(hue)) for hue in (max(one, other), min(one, other))
    )
    assert RIPENESS.index(more) >= RIPENESS.index(less)
    assert more_near >= less_near
