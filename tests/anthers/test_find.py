"""Anthers in the strip: whose floret, how long, how sure, in the photo's own pixels."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.anthers.blob_features import FEATURES
from spikecheck.anthers.blobs import Look
from spikecheck.anthers.find import SeenFloret, StripView, find_anthers
from spikecheck.imaging.strip import STRIP_PX_PER_MM, Strip
from spikecheck.thresholds import load_thresholds
from spikecheck.thresholds.scores import FittedScore
from spikecheck.vocabulary import AntherStage, Scale, ScaleSource
from tests.anthers.drawing import COLUMNS, EVERYWHERE, NOWHERE, PALE, ROWS, YELLOW, ellipse, tissue

LIMITS = load_thresholds().anthers
CENTRE = (200.0, 150.0)
ZOOM = 0.5
SCALE = Scale(STRIP_PX_PER_MM / ZOOM, ScaleSource.ESTIMATE, 30.0, 50.0)


def score(intercept: float = 2.0, **weights: float) -> FittedScore:
    """Log-odds ``intercept`` plus weights times the named measures, at most three of each."""
    none, one = np.zeros(len(FEATURES)), np.ones(len(FEATURES))
    own = np.array([weights.get(name, 0.0) for name in FEATURES])
    return FittedScore(FEATURES, none, one, own, none, intercept, "drawn")


def view(lab: np.ndarray) -> StripView:
    rows, columns = np.mgrid[:ROWS, :COLUMNS].astype(np.float32)
    strip = Strip(
        pixels=np.zeros((ROWS, COLUMNS, 3), np.uint8), inside=EVERYWHERE,
        photo_rows=rows / ZOOM, photo_columns=columns / ZOOM,
        tip_row=10.0, base_row=390.0, axis_column=150.0, zoom=ZOOM,
    )  # fmt: skip
    return StripView(strip, lab, EVERYWHERE, EVERYWHERE, NOWHERE)


def floret(id: str, centre=CENTRE, *, radius: float = 30.0) -> SeenFloret:  # noqa: A002
    angle = np.linspace(0, 2 * np.pi, 32, endpoint=False)
    rim = np.stack([centre[0] + radius * np.sin(angle), centre[1] + radius * np.cos(angle)], axis=1)
    return SeenFloret(id, rim.astype(np.float32))


def found(*patches, florets=(), scale=SCALE, scores=None, colour=YELLOW, thresholds=LIMITS):
    lab = tissue()
    for patch in patches:
        lab[patch] = colour
    scores = scores or dict.fromkeys(Look, score())
    return find_anthers(view(lab), florets, scale, scores=scores, thresholds=thresholds)


def test_place_box_and_length_are_those_of_the_photo():
    (anther,) = found(ellipse(CENTRE, 2.6, 0.8))
    assert (anther.centre.row, anther.centre.column) == pytest.approx((400, 300), abs=3)
    box = anther.box
    assert (box.right - box.left, box.bottom - box.top) == pytest.approx((104, 32), abs=6)
    assert anther.length_mm == pytest.approx(2.6, abs=0.15)
    assert anther.score == pytest.approx(1 / (1 + np.exp(-2)))
    assert (anther.stage, anther.near_anthesis) == (AntherStage.YELLOW, True)


def test_without_a_scale_nothing_is_said_of_length_or_breaks():
    (anther,) = found(ellipse(CENTRE, 1.0, 0.7), scale=None)
    assert anther.length_mm is None
    assert not anther.broken


@pytest.mark.parametrize(("length_mm", "broken"), [(1.2, True), (1.8, False), (3.0, False)])
def test_a_short_one_is_broken(length_mm, broken):
    (anther,) = found(ellipse(CENTRE, length_mm, 0.8))
    assert anther.broken is broken


@pytest.mark.parametrize(
    ("gap_px", "whose"),
    [
        (-20, "L1"),
        (0, "L1"),
        (LIMITS.floret_reach_px - 9, "L1"),
        (LIMITS.floret_reach_px + 5, None),
    ],
)
def test_an_anther_belongs_to_the_floret_whose_rim_it_touches_or_nearly(gap_px, whose):
    """The rim ends 30 px left of its middle; the patch begins ``gap_px`` to the right of it."""
    half_px = 26
    patch = ellipse((200.0, 100 + 30 + gap_px + half_px), 2.6, 0.8)
    (anther,) = found(patch, florets=[floret("L1", (200.0, 100.0))])
    assert anther.floret == whose


def test_of_two_florets_the_one_it_reaches_deepest_into():
    florets = [floret("L1", (200.0, 100.0)), SeenFloret("L2", None), floret("R1", (200.0, 190.0))]
    for column, whose in ((120.0, "L1"), (175.0, "R1")):
        (anther,) = found(ellipse((200.0, column), 2.0, 0.8), florets=florets)
        assert anther.floret == whose
        (same,) = found(ellipse((200.0, column), 2.0, 0.8), florets=florets[::-1])
        assert same.floret == whose


def test_a_floret_that_was_not_seen_owns_nothing():
    (anther,) = found(ellipse(CENTRE, 2.6, 0.8), florets=[SeenFloret("L1", None)])
    assert anther.floret is None


def test_the_most_certain_comes_first():
    small, large = ellipse((100.0, 100.0), 1.5, 0.7), ellipse((300.0, 200.0), 3.2, 1.0)
    by_area = dict.fromkeys(Look, score(0.0, area_mm2=1.0))
    first, second = found(small, large, scores=by_area)
    assert first.score > second.score
    assert first.centre.row > second.centre.row


@pytest.mark.parametrize(
    ("look", "colour", "threshold"),
    [(Look.YELLOW, YELLOW, "yellow_score"), (Look.PALE, PALE, "pale_score")],
)
def test_each_look_has_its_own_score_and_threshold(look, colour, threshold):
    patch = ellipse(CENTRE, 2.6, 0.8)
    own = dict.fromkeys(Look, score(-9.0)) | {look: score(0.0)}  # log-odds 0: a half
    assert len(found(patch, colour=colour, scores=own)) == 1
    above = replace(LIMITS, **{threshold: 0.51})
    assert found(patch, colour=colour, scores=own, thresholds=above) == ()
    others = dict.fromkeys(Look, score(9.0)) | {look: score(-9.0)}
    assert found(patch, colour=colour, scores=others) == ()


def test_even_tissue_holds_no_anther():
    assert found(florets=[floret("L1")]) == ()


@given(row=st.floats(60, 340), column=st.floats(60, 240), turn=st.floats(0, 180))
@settings(max_examples=15, deadline=None)
def test_wherever_and_however_it_lies_it_is_the_same_anther(row, column, turn):
    patch = ellipse((row, column), 2.6, 0.8, turn_deg=turn)
    (anther,) = found(patch, florets=[floret("R1", (row, column))])
    assert (anther.floret, anther.stage, anther.broken) == ("R1", AntherStage.YELLOW, False)
    assert anther.length_mm == pytest.approx(2.6, abs=0.3)
    assert anther.centre.row * ZOOM == pytest.approx(row, abs=1.5)
    assert anther.centre.column * ZOOM == pytest.approx(column, abs=1.5)
