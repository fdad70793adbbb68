"""Recall when few marks may be false, counted by hand and against a plain search."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.evaluation import PhotoOutcome, Proportion, summarise
from spikecheck.evaluation.compare import compare
from spikecheck.evaluation.free_response import recall_with_few_false, score_with_few_false
from tests.builders import anther, calibration, findings
from tests.evaluation.cases import result_on, true_anther, truth


def comparison(true=(), marks=(), *, complete=True):
    """True anthers as (floret, mm²), marks as (floret, score)."""
    right = truth(*(true_anther(id_, area_mm2=mm2) for id_, mm2 in true), complete=complete)
    seen = findings(anthers=[anther(id_, score=score) for id_, score in marks])
    return compare(right, result_on(seen))


def test_by_hand():
    """Of 20 photos one mark may be false: the second best false mark, 0.6, is the limit."""
    photos = [
        comparison([("L1", 0.5), ("L2", 0.3)], [("L1", 0.61), ("L2", 0.6)]),
        comparison([("L3", 2.0), ("L4", 0.1)], [("L4", 0.9), ("R1", 0.99)]),
        comparison([], [("R1", 0.6), ("R3", 0.2)]),
        *[comparison() for _ in range(17)],
    ]
    assert score_with_few_false(photos, false_per_photo=0.05) == 0.6
    assert recall_with_few_false(photos, least_mm2=0.25) == Proportion(1, 3)
    assert recall_with_few_false(photos, least_mm2=1.0) == Proportion(0, 1)


def test_marks_below_the_pass_limit_are_ranked_too():
    right = truth(true_anther("L1", area_mm2=1.0))
    seen = findings(anthers=[anther("L1", score=0.1)], calibration=calibration(0.5))
    scores = summarise([PhotoOutcome("a.jpg", right, result_on(seen))]).targets
    assert dict(scores.recall)[0.25] == Proportion(0, 1)
    assert dict(scores.recall_with_few_false)[0.25] == Proportion(1, 1)


def test_photos_not_fully_marked_say_nothing():
    photo = comparison([("L1", 1.0)], [("L1", 0.9), ("R1", 0.95)], complete=False)
    assert recall_with_few_false([photo], least_mm2=0.25) == Proportion(0, 0)


scores = st.lists(st.sampled_from([0.1, 0.2, 0.3, 0.4, 0.5, 0.6]), max_size=3)


@given(st.lists(st.tuples(scores, scores), min_size=1, max_size=8), st.sampled_from([0, 0.3, 1]))
def test_no_limit_with_as_few_false_marks_finds_more(photos, allowed):
    compared = [
        comparison(
            [(f"L{n}", 1.0) for n in range(1, len(right) + 1)],
            [*((f"L{n}", s) for n, s in enumerate(right, 1)),
             *((f"R{n}", s) for n, s in enumerate(wrong, 1))],
        )
        for right, wrong in photos
    ]  # fmt: skip
    found = recall_with_few_false(compared, least_mm2=0.25, false_per_photo=allowed)
    above = score_with_few_false(compared, false_per_photo=allowed)

    def false(limit):
        return sum(s > limit for _, wrong in photos for s in wrong)

    def right(limit):
        return sum(s > limit for found_, _ in photos for s in found_)

    assert false(above) <= allowed * len(photos)
    assert found.events == right(above)
    limits = [-1.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6]
    best = max(right(limit) for limit in limits if false(limit) <= allowed * len(photos))
    assert found.events == pytest.approx(best)
