"""What a network is judged by, on hand-counted cases."""

from __future__ import annotations

from dataclasses import replace

import pytest

from spikecheck.evaluation import PhotoOutcome, Proportion, rows, summarise
from spikecheck.vocabulary import AntherStage, QualityProblem
from tests.builders import anther, calibration, findings, floret, florets, quality
from tests.evaluation.cases import result_on, true_anther, truth

GREEN, YELLOW, DEHISCED = AntherStage
BLURRED = (QualityProblem.DEFOCUS,)


def targets(*pairs):
    return summarise([PhotoOutcome("a.jpg", right, answer) for right, answer in pairs]).targets


def calibrated(anthers=(), seen=None, limit: float = 0.3):
    return result_on(findings(seen, anthers, calibration=calibration(limit)))


def test_recall_starts_at_the_stated_area():
    areas = {"L1": 0.24, "L2": 0.25, "L3": 0.99, "L4": 1.0, "L5": 4.0}
    right = truth(*(true_anther(id_, area_mm2=area) for id_, area in areas.items()))
    answer = result_on(findings(anthers=[anther("L1"), anther("L2"), anther("L5")]))
    assert dict(targets((right, answer)).recall) == {
        0.25: Proportion(2, 4), 1.0: Proportion(1, 2),
    }  # fmt: skip


def test_a_mark_on_an_anther_too_small_to_count_is_neither_false_nor_a_find():
    right = truth(true_anther("L1", area_mm2=0.1), true_anther("L2", area_mm2=0.5))
    scores = targets((right, result_on(findings(anthers=[anther("L1")]))))
    assert scores.false_marks == 0
    assert dict(scores.recall)[0.25] == Proportion(0, 1)


def test_false_marks_are_counted_per_good_photo():
    marks = [anther("L1"), anther("L2"), anther("R4")]
    clean, blurred = truth(), truth(problems=BLURRED)
    answer = result_on(findings(anthers=marks))
    assert targets((clean, answer), (clean, result_on()), (blurred, answer)).false_marks == 1.5
    assert targets((truth(complete=False), answer)).false_marks is None


def test_a_spike_nobody_prepared_is_in_no_share_of_good_photos():
    """It goes to review anyway; its many anthers would only hide how leftovers fare."""
    whole = truth(
        *(true_anther(f"L{n}", area_mm2=2.0) for n in range(1, 6)),
        problems=(QualityProblem.NOT_PREPARED,),
    )
    scores = targets((whole, result_on(findings(anthers=[anther("L1"), anther("R1")]))))
    assert dict(scores.recall)[0.25] == dict(scores.leftover_passed)[0.25] == Proportion(0, 0)
    assert scores.false_marks is None
    assert scores.unjudgeable_reviewed == Proportion(0, 0)


def test_anthers_in_bad_photos_are_in_no_recall():
    blurred = truth(true_anther(area_mm2=1.0), problems=BLURRED)
    assert dict(targets((blurred, result_on())).recall)[0.25] == Proportion(0, 0)


def test_recall_by_stage_and_area():
    right = truth(
        true_anther("L1", stage=GREEN, area_mm2=0.5), true_anther("L2", stage=GREEN, area_mm2=2.0),
        true_anther("L3", stage=YELLOW, area_mm2=2.0),
    )  # fmt: skip
    answer = result_on(findings(anthers=[anther("L1"), anther("L3", stage=YELLOW)]))
    table = {
        (stage, name): share
        for stage, name, share in targets((right, answer)).recall_by_stage_and_area
        if share.trials
    }
    assert table == {
        (GREEN, "0.25 to 1 mm²"): Proportion(1, 1), (GREEN, "1 mm² and more"): Proportion(0, 1),
        (YELLOW, "1 mm² and more"): Proportion(1, 1),
    }  # fmt: skip


def test_stage_is_judged_on_visible_anthers_that_were_found():
    right = truth(
        true_anther("L1", stage=YELLOW, area_mm2=0.5), true_anther("L2", area_mm2=0.5),
        true_anther("L3", stage=YELLOW, area_mm2=0.1), true_anther("L4", area_mm2=0.5),
    )  # fmt: skip
    answer = result_on(findings(anthers=[anther("L1"), anther("L2"), anther("L3")]))
    assert targets((right, answer)).stage_right == Proportion(1, 2)


def test_only_marks_above_the_pass_limit_count():
    right = truth(true_anther("L1", area_mm2=1.0), true_anther("L2", area_mm2=1.0))
    marks = [
        anther("L1", score=0.3), anther("L2", score=0.31), anther("R1", score=0.1),
        anther("R2", score=0.9),
    ]  # fmt: skip
    scores = targets((right, calibrated(marks)))
    assert dict(scores.recall)[0.25] == Proportion(1, 2)
    assert scores.false_marks == 1


def test_a_floret_told_to_hold_an_anther_tells_of_its_anther_and_is_false_without_one():
    there = florets()
    right = truth(true_anther("L3", area_mm2=1.0), florets=there)
    seen = [replace(one, p_anther=0.9 if one.id in {"L3", "R1"} else 0.01) for one in there]
    scores = targets((right, calibrated(seen=seen)))
    assert dict(scores.recall)[0.25] == Proportion(0, 1)
    assert dict(scores.told)[0.25] == Proportion(1, 1)
    assert scores.false_florets == 1
    assert scores.false_marks == 0


def test_a_told_floret_that_has_a_mark_of_its_own_is_not_counted_twice():
    right = truth(florets=florets())
    seen = [replace(one, p_anther=0.9 if one.id == "L3" else 0.01) for one in florets()]
    scores = targets((right, calibrated([anther("L3")], seen)))
    assert (scores.false_marks, scores.false_florets) == (1, 0)


def test_leftover_spikes_that_pass_by_what_shows_of_the_anther():
    def spike(area):
        return truth(true_anther(area_mm2=area))

    passing, reviewing = result_on(), result_on(findings(anthers=[anther()]))
    scores = targets(
        (spike(0.04), passing), (spike(0.05), passing), (spike(0.3), passing),
        (spike(0.3), reviewing), (spike(None), reviewing), (truth(), passing),
    )  # fmt: skip
    assert dict(scores.leftover_passed) == {0.05: Proportion(2, 4), 0.25: Proportion(1, 3)}


def test_only_florets_that_can_be_looked_into_are_asked_for():
    there = [
        *florets(), floret("F1", cavity_seen=0.49), floret("F2", clipped=False),
        floret("F3", cavity_seen=0.5),
    ]  # fmt: skip
    told = [*florets()[:9], floret("F1"), floret("F7"), floret("F8", cavity_seen=0.2)]
    scores = targets((truth(florets=there), result_on(findings(told))))
    assert scores.cavity_recall == Proportion(9, 11)  # R5 and F3 are missing
    assert scores.cavity_precision == Proportion(9, 10)  # F7 is not there at all
    assert scores.cavity_f1 == pytest.approx(2 * 9 / (11 + 10))
    assert scores.cavity_count_error == 1


def test_count_errors_of_florets_do_not_cancel_over_photos():
    more = (truth(florets=florets(4)), result_on(findings(florets(5))))
    less = (truth(florets=florets(5)), result_on(findings(florets(4))))
    assert targets(more, less).cavity_count_error == 2


def test_photos_that_cannot_be_judged_go_to_review_with_what_is_wrong():
    dark = quality(QualityProblem.DARK)
    both = quality(QualityProblem.DARK, QualityProblem.DEFOCUS)
    right = truth(problems=(QualityProblem.DARK,))
    scores = targets(
        (right, result_on(judged=dark)), (right, result_on(judged=both)), (right, result_on()),
        (truth(problems=(QualityProblem.DARK, QualityProblem.DEFOCUS)), result_on(judged=dark)),
        (truth(), result_on()),
    )  # fmt: skip
    assert scores.unjudgeable_reviewed == Proportion(3, 4)
    assert scores.right_problem == Proportion(2, 4)


def test_unfamiliar_photos_are_counted():
    strange = result_on(findings(unfamiliar=True))
    assert targets((truth(), strange), (truth(), result_on())).unfamiliar == Proportion(1, 2)


def test_nothing_to_count_is_nothing():
    scores = targets()
    assert scores.cavity_f1 is None
    assert scores.false_marks is None
    assert scores.unjudgeable_reviewed.share is None


def test_the_table_has_a_row_for_each_target():
    right = truth(true_anther("L1", area_mm2=1.0), florets=florets())
    outcome = PhotoOutcome("a.jpg", right, result_on(findings(anthers=[anther("L1")])))
    named = {(row.group, row.name): row for row in rows(summarise([outcome]))}
    for name in (
        "recall, 0.25 mm² or more visible", "recall, 1 mm² or more visible",
        "recall, green, 1 mm² and more visible", "stage right, 0.25 mm² or more",
    ):  # fmt: skip
        row = named["anthers", f"good photos: {name}"]
        assert (row.events, row.trials) == (1, 1)
    assert named["anthers", "good photos: false marks per photo"].value == 0
    assert named["florets", "good photos: can be looked into, F1"].value == 1
    safety = named[
        "verdict", "good photos: spikes with 0.25 mm² or more of an anther in sight that pass"
    ]
    assert (safety.events, safety.trials) == (0, 1)
