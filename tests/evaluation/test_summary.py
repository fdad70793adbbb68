"""Scores by hand-counted cases."""

from __future__ import annotations

from dataclasses import replace

import pytest

from spikecheck.evaluation import PhotoOutcome, Proportion, summarise
from spikecheck.vocabulary import AntherStage, Point, QualityProblem, Verdict
from tests.builders import anther, findings, floret, florets, quality
from tests.evaluation.cases import result_on, true_anther, truth

GREEN, YELLOW, DEHISCED = AntherStage


def of(*pairs):
    """The evaluation of these (truth, result) pairs."""
    return summarise([PhotoOutcome("a.jpg", right, answer) for right, answer in pairs])


def test_anthers_found_missed_and_imagined_are_counted():
    right = truth(true_anther("L1"), true_anther("L2"), true_anther("R4", stage=YELLOW))
    answer = result_on(
        findings(anthers=[anther("L1"), anther("R4", stage=GREEN), anther("R1", stage=YELLOW)])
    )
    scores = of((right, answer)).anthers
    assert scores.recall == Proportion(2, 3)
    assert scores.precision == Proportion(2, 3)
    assert dict(scores.recall_by_stage) == {
        GREEN: Proportion(1, 2), YELLOW: Proportion(1, 1), DEHISCED: Proportion(0, 0),
    }  # fmt: skip
    assert dict(scores.precision_by_stage) == {
        GREEN: Proportion(2, 2), YELLOW: Proportion(0, 1), DEHISCED: Proportion(0, 0),
    }  # fmt: skip
    assert scores.stage_right == Proportion(1, 2)
    assert scores.ripe_told == Proportion(0, 1)


def test_a_green_anther_flagged_near_anthesis_counts_as_told_ripe():
    right = truth(true_anther("L1", stage=YELLOW))
    answer = result_on(findings(anthers=[anther("L1", near_anthesis=True)]))
    assert of((right, answer)).anthers.ripe_told == Proportion(1, 1)


def test_recall_by_visible_area_takes_each_class_at_its_lower_edge():
    areas = {"L1": 0.1, "L2": 0.25, "L3": 0.99, "L4": 1.0, "L5": 4.0}
    right = truth(
        *(true_anther(id_, area_mm2=area) for id_, area in areas.items()),
        true_anther("R5", area_mm2=None),
    )
    answer = result_on(findings(anthers=[anther("L2"), anther("L4"), anther("L5")]))
    assert [share for _, share in of((right, answer)).anthers.recall_by_area] == [
        Proportion(0, 1), Proportion(1, 2), Proportion(2, 2),
    ]  # fmt: skip


def test_an_anther_of_which_nothing_shows_is_in_no_recall_but_is_a_leftover():
    scores = of((truth(true_anther(area_mm2=0.0)), result_on()))
    assert scores.anthers.recall == Proportion(0, 0)
    assert scores.verdicts.leftover_passed == Proportion(1, 1)


def test_recall_in_photos_that_can_be_judged_leaves_the_others_out():
    seen = truth(true_anther("L1"))
    blurred = truth(true_anther("L1"), problems=(QualityProblem.DEFOCUS,))
    unprepared = truth(true_anther("L1"), problems=(QualityProblem.NOT_PREPARED,))
    found = result_on(findings(anthers=[anther("L1")]))
    scores = of((seen, found), (blurred, result_on()), (unprepared, found)).anthers
    assert scores.recall == Proportion(2, 3)
    assert scores.recall_judgeable == Proportion(2, 2)


def test_no_precision_where_not_every_anther_is_marked():
    right = truth(true_anther("L1"), complete=False)
    answer = result_on(findings(anthers=[anther("L1"), anther("R1")]))
    scores = of((right, answer)).anthers
    assert scores.recall == Proportion(1, 1)
    assert scores.precision == Proportion(0, 0)


def test_the_floret_of_an_anther_is_right_by_place_not_by_number():
    """The finder missed L1 and so calls every floret above it by one number less."""
    there = florets()
    told = [replace(one, id=f"L{n}") for n, one in enumerate(there[1:5], start=1)]
    mark = replace(anther("L3"), floret="L2")
    wrong = replace(anther("L4"), floret="L4")
    beside = replace(anther("L5"), floret=None)
    right = truth(true_anther("L3"), true_anther("L4"), true_anther("L5"), florets=there)
    scores = of((right, result_on(findings(told, [mark, wrong, beside]))))
    assert scores.anthers.right_floret == Proportion(1, 3)


def test_an_anther_rightly_put_outside_every_floret_is_right():
    spot = Point(30.0, 30.0)
    right = truth(replace(true_anther(at=spot), floret=None), florets=florets())
    scores = of((right, result_on(findings(anthers=[anther(None, at=spot)]))))
    assert scores.anthers.right_floret == Proportion(1, 1)


def test_florets_are_counted():
    there = [*florets(), floret("F9", clipped=False)]
    told = [*florets()[:8], replace(floret("F9"), clipped=True), floret("F1"), floret("F2")]
    scores = of((truth(florets=there), result_on(findings(told)))).florets
    assert scores.recall == Proportion(9, 11)
    assert scores.precision == Proportion(9, 11)
    assert scores.f1 == pytest.approx(9 / 11)
    assert scores.clipped_right == Proportion(8, 9)
    assert (scores.mean_count_error, scores.mean_absolute_count_error) == (0, 0)


def test_count_errors_do_not_cancel_without_their_sign():
    more = (truth(florets=florets(4)), result_on(findings(florets(5))))
    less = (truth(florets=florets(5)), result_on(findings(florets(4))))
    scores = of(more, less, less).florets
    assert scores.mean_count_error == pytest.approx(-2 / 3)
    assert scores.mean_absolute_count_error == pytest.approx(2)
    assert scores.f1 == pytest.approx(2 * 24 / (28 + 26))


def test_florets_that_are_not_marked_are_not_counted():
    scores = of((truth(), result_on())).florets
    assert scores.recall == scores.precision == Proportion(0, 0)
    assert scores.f1 is None
    assert scores.mean_count_error is None


def test_verdicts_are_tabled_against_the_truth():
    clean, dirty = truth(), truth(true_anther())
    passing, reviewing = result_on(), result_on(findings(anthers=[anther()]))
    table = of(
        (clean, passing), (clean, passing), (clean, reviewing), (dirty, reviewing), (None, passing)
    ).verdicts
    assert {(right, answer): number for right, answer, number in table.table if number} == {
        (Verdict.PASS, Verdict.PASS): 2,
        (Verdict.PASS, Verdict.REVIEW): 1,
        (Verdict.REVIEW, Verdict.REVIEW): 1,
        (None, Verdict.PASS): 1,
    }
    assert table.clean_passed == Proportion(2, 3)
    assert table.leftover_passed == Proportion(0, 1)
    assert table.review_passed == Proportion(0, 1)


def test_a_spike_to_review_without_a_leftover_is_no_leftover_spike():
    blurred = truth(problems=(QualityProblem.DEFOCUS,))
    scores = of((blurred, result_on())).verdicts
    assert scores.review_passed == Proportion(1, 1)
    assert scores.leftover_passed == Proportion(0, 0)


def test_problems_are_right_only_if_exactly_right():
    dark = quality(QualityProblem.DARK)
    both = quality(QualityProblem.DARK, QualityProblem.DEFOCUS)
    right = truth(problems=(QualityProblem.DARK,))
    unknown = truth(problems=None)
    scores = of(
        (right, result_on(judged=dark)), (right, result_on(judged=both)),
        (right, result_on()), (truth(), result_on()), (unknown, result_on(judged=dark)),
    ).verdicts  # fmt: skip
    assert scores.problems_right == Proportion(2, 4)
    found = dict(scores.problem_found)
    assert found[QualityProblem.DARK] == Proportion(2, 3)
    assert found[QualityProblem.DEFOCUS] == Proportion(0, 0)


def test_scale_error_is_relative_and_the_bounds_hold_or_not():
    answer = result_on()  # 10 px/mm, bounds 9 to 11
    scores = of(
        (truth(px_per_mm=10.0), answer), (truth(px_per_mm=12.5), answer),
        (truth(px_per_mm=8.0), answer), (truth(px_per_mm=None), answer),
    ).scale  # fmt: skip
    assert scores.median_error == pytest.approx(0)
    assert scores.median_absolute_error == pytest.approx(0.2)
    assert scores.held == Proportion(1, 3)


def test_nothing_to_evaluate_gives_scores_of_nothing():
    scores = of()
    assert scores.anthers.recall.share is None
    assert scores.scale.median_error is None
    assert scores.verdicts.leftover_passed.share is None
