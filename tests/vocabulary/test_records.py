"""Records check themselves when they are made."""

from __future__ import annotations

import dataclasses
import inspect

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import spikecheck.vocabulary as words
from spikecheck.errors import UsageError
from spikecheck.vocabulary import (
    AntherStage,
    Box,
    Floret,
    FloretStatus,
    JudgedFloret,
    Photo,
    Point,
    QualityProblem,
    Risk,
    Scale,
    ScaleSource,
    Side,
    Spike,
)
from tests.builders import anther, around, calibration, findings, floret

LINE = np.array([(9.0, 5.0), (1.0, 5.0)])
TRIANGLE = np.array([(0.0, 0.0), (0.0, 9.0), (9.0, 5.0)])
RECORDS = [
    kind
    for name in words.__all__
    if inspect.isclass(kind := getattr(words, name)) and dataclasses.is_dataclass(kind)
]


@pytest.mark.parametrize("kind", RECORDS, ids=lambda kind: kind.__name__)
def test_records_are_frozen_and_without_open_ends(kind):
    assert kind.__dataclass_params__.frozen
    assert "__slots__" in vars(kind)


@pytest.mark.parametrize("score", [-0.01, 1.01, float("nan")])
def test_a_score_is_a_share(score: float):
    with pytest.raises(UsageError, match=r"an anther's score lies in 0\.\.1"):
        anther(score=score)


def test_marks_are_the_anthers_above_the_pass_limit_or_all_without_one():
    weak, strong = anther(score=0.3), anther(score=0.31)
    assert findings(anthers=[strong, weak]).marks == (strong, weak)
    assert findings(anthers=[strong, weak], calibration=calibration(0.3)).marks == (strong,)


@pytest.mark.parametrize("length_mm", [0.0, -2.0])
def test_a_length_is_positive(length_mm: float):
    with pytest.raises(UsageError, match=r"an anther's length is positive, got"):
        dataclasses.replace(anther(), length_mm=length_mm)


@pytest.mark.parametrize("value", [-0.1, 1.1, float("nan")])
def test_shares_of_a_floret(value: float):
    with pytest.raises(UsageError, match=r"cavity_seen of floret L1 lies in 0\.\.1"):
        floret("L1", cavity_seen=value)
    with pytest.raises(UsageError, match=r"position of floret L1 lies in 0\.\.1"):
        Floret("L1", Point(1, 1), around(Point(1, 1), 1), Side.LEFT, value, True, 1.0)
    with pytest.raises(UsageError, match=r"p_leftover of floret L1 lies in 0\.\.1"):
        JudgedFloret(floret("L1"), FloretStatus.CLEAR, value)


@pytest.mark.parametrize("p_leftover", [-0.1, 1.1, float("nan")])
def test_a_risk_is_a_probability(p_leftover: float):
    with pytest.raises(UsageError, match=r"p_leftover lies in 0\.\.1"):
        Risk(p_leftover, None, calibrated=False)


@pytest.mark.parametrize(
    "edges", [(5, 0, 5, 9), (0, 5, 9, 5), (9, 0, 5, 9), (0, 0, 9, float("nan"))]
)
def test_a_box_needs_area(edges):
    with pytest.raises(UsageError, match="a box needs area, got rows"):
        Box(*edges)


def test_a_box_is_half_open_row_first():
    box = Box(top=10, left=20, bottom=30, right=60)
    assert box.centre == Point(row=20, column=40)
    assert box.contains(Point(10, 20))
    assert not box.contains(Point(30, 20))
    assert not box.contains(Point(10, 60))
    assert not box.contains(Point(20, 10))
    assert box.grown(5) == Box(5, 15, 35, 65)


@given(
    st.tuples(st.floats(0, 1000), st.floats(0, 1000)),
    st.tuples(st.floats(0.5, 1000), st.floats(0.5, 1000)),
    st.floats(0, 100),
)
def test_a_grown_box_holds_what_the_box_holds(corner, size, margin):
    box = Box(*corner, corner[0] + size[0], corner[1] + size[1])
    assert box.contains(box.centre)
    assert box.grown(margin).contains(box.centre)


@pytest.mark.parametrize(
    ("best", "low", "high"), [(0, 0, 1), (5, 6, 7), (5, 3, 4), (5, -1, 6), (float("nan"), 1, 2)]
)
def test_a_scale_lies_within_its_bounds(best: float, low: float, high: float):
    with pytest.raises(UsageError, match="a scale needs 0 < low <= px/mm <= high"):
        Scale(best, ScaleSource.ESTIMATE, low, high)


@pytest.mark.parametrize(
    ("outline", "axis", "complaint"),
    [
        (TRIANGLE[:2], LINE, "outline needs shape"),
        (TRIANGLE.T, LINE, "outline needs shape"),
        (TRIANGLE, LINE[:1], "axis needs shape"),
        (TRIANGLE, LINE.ravel(), "axis needs shape"),
    ],
)
def test_shapes_of_a_spike(outline, axis, complaint: str):
    with pytest.raises(UsageError, match=complaint):
        Spike(outline, axis, cut_off=False, hidden_share=0.0)


@pytest.mark.parametrize("share", [-0.1, 1.1, float("nan")])
def test_the_hidden_share_of_a_spike(share: float):
    with pytest.raises(UsageError, match=r"hidden_share lies in 0\.\.1"):
        Spike(TRIANGLE, LINE, cut_off=False, hidden_share=share)


def test_the_length_of_a_spike_follows_its_axis():
    bent = np.array([(0.0, 0.0), (3.0, 4.0), (3.0, 14.0)])
    assert Spike(TRIANGLE, bent, cut_off=False, hidden_share=0.0).length_px == 15


@pytest.mark.parametrize(
    "pixels",
    [
        np.zeros((4, 5), np.uint8),
        np.zeros((4, 5, 4), np.uint8),
        np.zeros((4, 5, 3), np.float32),
        np.zeros((2, 4, 5, 3), np.uint8),
    ],
)
def test_a_photo_is_8_bit_rgb(pixels):
    with pytest.raises(UsageError, match=r"a photo is uint8 of shape \(rows, columns, 3\)"):
        Photo("a.jpg", "0" * 64, pixels)


def test_a_photo_knows_its_size():
    photo = Photo("a.jpg", "0" * 64, np.zeros((40, 50, 3), np.uint8))
    assert (photo.height, photo.width) == (40, 50)


@pytest.mark.parametrize("problem", list(QualityProblem))
def test_every_problem_tells_the_technician_what_to_do(problem: QualityProblem):
    assert problem.advice.endswith(".")
    assert ":" in problem.advice  # what is wrong: what to do


def test_every_problem_of_the_contract_has_its_code():
    assert {problem.value for problem in QualityProblem} == {
        "no_spike", "too_small", "cut_off", "defocus", "motion", "dark", "overexposed", "occluded",
        "several_spikes", "not_prepared",
    }  # fmt: skip


def test_sides_begin_ids():
    assert [side.letter for side in Side] == ["L", "R", "F"]


def test_stages_stand_in_order_of_ripening():
    assert list(AntherStage) == ["green", "yellow", "dehisced"]
