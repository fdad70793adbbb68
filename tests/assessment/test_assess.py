"""Pass or review: everything that is unsure is review."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from spikecheck.assessment import assess
from spikecheck.errors import UsageError
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import (
    AntherStage,
    FloretStatus,
    QualityProblem,
    ReasonCode,
    Verdict,
)
from tests.builders import anther, findings, floret, florets, quality

if TYPE_CHECKING:
    from spikecheck.assessment import Assessment
    from spikecheck.vocabulary import Findings, PhotoQuality

LIMITS = load_thresholds().assessment
HIDING = [problem for problem in QualityProblem if problem is not QualityProblem.NOT_PREPARED]


def judge(*photos: Findings | tuple[Findings, PhotoQuality]) -> Assessment:
    pairs = [photo if isinstance(photo, tuple) else (photo, quality()) for photo in photos]
    return assess(pairs, thresholds=LIMITS)


def codes(assessment: Assessment) -> list[str]:
    return [str(reason.code) for reason in assessment.reasons]


def test_a_clean_spike_seen_from_two_faces_passes_without_a_reason():
    answer = judge(findings(), findings())
    assert answer.verdict is Verdict.PASS
    assert answer.reasons == ()
    assert {judged.status for face in answer.florets for judged in face} == {FloretStatus.CLEAR}


def test_a_pass_from_one_face_carries_the_advice_to_photograph_the_other():
    answer = judge(findings())
    assert answer.verdict is Verdict.PASS
    assert codes(answer) == ["one_face_only"]
    assert "other face" in answer.reasons[0].message


def test_one_face_advice_is_given_on_pass_only():
    assert "one_face_only" not in codes(judge(findings(anthers=[anther()])))


@pytest.mark.parametrize("score", [LIMITS.anther_score_least, 0.3, 0.5, 1.0])
def test_an_anther_of_any_score_above_the_low_limit_is_review(score: float):
    answer = judge(findings(anthers=[anther("R2", score=score)]))
    assert answer.verdict is Verdict.REVIEW
    assert codes(answer) == ["anther_left"]
    reason = answer.reasons[0]
    assert (reason.photo, reason.floret, reason.place) == (0, "R2", floret("R2").centre)
    statuses = {judged.floret.id: judged.status for judged in answer.florets[0]}
    assert statuses.pop("R2") is FloretStatus.ANTHER
    assert set(statuses.values()) == {FloretStatus.CLEAR}


def test_a_mark_below_the_low_limit_is_no_leftover():
    answer = judge(findings(anthers=[anther(score=LIMITS.anther_score_least - 0.01)]))
    assert answer.verdict is Verdict.PASS


@pytest.mark.parametrize(
    ("stage", "near_anthesis"),
    [(AntherStage.YELLOW, False), (AntherStage.DEHISCED, False), (AntherStage.GREEN, True)],
)
def test_a_ripe_anther_is_too_close_to_anthesis(stage, near_anthesis):
    answer = judge(findings(anthers=[anther("L3", stage=stage, near_anthesis=near_anthesis)]))
    assert answer.verdict is Verdict.REVIEW
    assert codes(answer) == ["too_close_to_anthesis"]
    assert answer.reasons[0].message.startswith("Too close to anthesis: pollen may already be out")
    assert "in floret L3 (left side, 3rd from the base)" in answer.reasons[0].message


def test_an_anther_outside_the_florets_is_review_and_raises_the_risk_of_the_spike():
    answer = judge(findings(anthers=[anther(None)]))
    assert answer.verdict is Verdict.REVIEW
    assert codes(answer)[0] == "anther_outside_floret"
    assert answer.risk.p_leftover >= 0.9
    assert all(judged.status is FloretStatus.CLEAR for judged in answer.florets[0])


def test_an_anther_of_a_floret_that_is_not_reported_counts_as_outside():
    answer = judge(findings(anthers=[anther("L19")]))
    assert codes(answer)[0] == "anther_outside_floret"
    assert answer.reasons[0].floret is None


def test_a_floret_that_is_not_clipped_is_review():
    answer = judge(findings([*florets(), floret("L9", clipped=False)]))
    assert codes(answer)[0] == "floret_not_clipped"
    assert answer.reasons[0].floret == "L9"
    assert answer.florets[0][-1].status is FloretStatus.NOT_CLIPPED
    assert answer.florets[0][-1].p_leftover == LIMITS.not_clipped_leftover


def test_a_photo_that_cannot_be_judged_calls_no_floret_uncut_and_lowers_no_risk():
    seen = [*florets(), floret("L9", clipped=False)]
    answer = judge((findings(seen), quality(QualityProblem.DARK)))
    assert answer.florets[0][-1].status is FloretStatus.NOT_SEEN
    assert answer.florets[0][-1].p_leftover == LIMITS.not_clipped_leftover


def test_an_anther_in_a_floret_that_is_not_clipped_is_told_with_both_reasons():
    answer = judge(findings([*florets(), floret("L9", clipped=False)], [anther("L9", score=0.9)]))
    assert codes(answer)[:2] == ["anther_left", "floret_not_clipped"]
    assert answer.florets[0][-1].status is FloretStatus.ANTHER


def test_a_floret_that_cannot_be_looked_into_is_review_with_the_prior_as_its_risk():
    hidden = floret("R9", cavity_seen=LIMITS.cavity_seen_least - 0.01)
    answer = judge(findings([*florets(), hidden]))
    assert codes(answer) == ["floret_not_seen"]
    assert answer.florets[0][-1].status is FloretStatus.NOT_SEEN
    assert answer.florets[0][-1].p_leftover == LIMITS.floret_leftover_prior


def test_a_floret_not_seen_in_one_face_is_not_excused_by_another_face():
    hidden = [*florets(4), floret("R9", cavity_seen=0.2)]
    answer = judge(findings(hidden), findings([*florets(4), floret("R9")]))
    assert answer.verdict is Verdict.REVIEW
    assert codes(answer) == ["floret_not_seen"]
    assert answer.reasons[0].photo == 0
    assert answer.reasons[0].message.startswith("Photo 1: ")


@pytest.mark.parametrize("share", [LIMITS.unexplained_share_most + 0.01, 1.0, float("nan")])
def test_a_part_that_was_not_read_is_review(share: float):
    assert codes(judge(findings(unexplained=share))) == ["part_not_read"]


def test_as_much_unread_as_allowed_still_passes():
    answer = judge(findings(unexplained=LIMITS.unexplained_share_most))
    assert answer.verdict is Verdict.PASS


@pytest.mark.parametrize("count", [0, 1, 3])
def test_fewer_florets_than_a_prepared_spike_shows_is_review(count: int):
    answer = judge(findings(florets(count)))
    assert answer.verdict is Verdict.REVIEW
    assert "part_not_read" in codes(answer)
    assert f"Only {2 * count} " in answer.reasons[0].message


def test_florets_that_were_not_recognised_count_as_not_seen_in_the_risk():
    nothing = judge(findings([]))
    least = round(LIMITS.florets_least)
    assert nothing.risk.p_leftover == pytest.approx(1 - (1 - LIMITS.floret_leftover_prior) ** least)
    assert nothing.risk.expected_selfed_share is None


@pytest.mark.parametrize("problem", HIDING)
def test_a_photo_that_cannot_be_judged_is_review_with_its_advice_first(problem: QualityProblem):
    answer = judge((findings(), quality(problem)))
    assert answer.verdict is Verdict.REVIEW
    assert codes(answer)[0] == problem.value
    assert answer.reasons[0].message == problem.advice
    assert {judged.status for judged in answer.florets[0]} == {FloretStatus.NOT_SEEN}
    assert answer.risk.expected_selfed_share is None


@pytest.mark.parametrize("problem", list(QualityProblem))
def test_a_problem_that_hides_no_floret_is_review_too(problem: QualityProblem):
    answer = judge((findings(), quality(problem, usable=True)))
    assert answer.verdict is Verdict.REVIEW
    assert codes(answer) == [problem.value]


def test_a_photo_called_unusable_without_a_problem_is_review():
    answer = judge((findings(), quality(usable=False)))
    assert codes(answer) == ["part_not_read"]
    assert answer.reasons[0].message == "The photo cannot be judged: take it again."


def test_the_florets_of_a_blurred_photo_give_no_reasons_of_their_own():
    seen = [*florets(), floret("L9", clipped=False), floret("R9", cavity_seen=0.1)]
    answer = judge((findings(seen, unexplained=0.8), quality(QualityProblem.DEFOCUS)))
    assert codes(answer) == ["defocus"]


def test_an_anther_in_a_blurred_photo_comes_before_the_blur():
    blurred = (findings(anthers=[anther()]), quality(QualityProblem.DEFOCUS))
    assert codes(judge(blurred))[:2] == ["anther_left", "defocus"]


def test_marks_without_a_spike_are_no_leftovers():
    nothing = findings([], [anther(None)], with_spike=False)
    answer = judge((nothing, quality(QualityProblem.NO_SPIKE)))
    assert codes(answer)[0] == "no_spike"
    assert "anther_outside_floret" not in codes(answer)


def test_no_spike_is_review_even_if_the_photo_is_called_good():
    assert judge(findings([], with_spike=False)).verdict is Verdict.REVIEW


def test_florets_that_are_each_seen_but_together_too_uncertain_are_review():
    barely = florets(20, cavity_seen=LIMITS.cavity_seen_least)
    answer = judge(findings(barely))
    assert answer.risk.p_leftover > LIMITS.p_leftover_most
    assert codes(answer) == ["risk_too_high"]
    assert answer.reasons[0].photo is None
    assert "above the 50% allowed" in answer.reasons[0].message


def test_the_risk_is_no_reason_beside_one_that_can_be_pointed_at():
    answer = judge(findings(anthers=[anther(score=1.0)]))
    assert answer.risk.p_leftover == 1
    assert codes(answer) == ["anther_left"]


def test_the_risk_of_an_uncalibrated_finder_is_not_called_calibrated():
    assert judge(findings()).risk.calibrated is False


def test_nothing_to_judge_is_an_error():
    with pytest.raises(UsageError, match=r"nothing to judge\. Give at least one photo"):
        assess([], thresholds=LIMITS)


def test_reason_codes_of_the_vocabulary_are_all_used():
    given = {
        *codes(assess([(findings(), quality())], thresholds=LIMITS, tags=["K7Q29XMT", "CDFG2345"])),
        *codes(judge(findings())),
        *codes(judge(findings(anthers=[anther(), anther(None), anther("L1", near_anthesis=True)]))),
        *codes(judge(findings([*florets(), floret("L9", clipped=False)]))),
        *codes(judge(findings([*florets(), floret("L9", cavity_seen=0)]))),
        *codes(judge(findings(unexplained=1.0))),
        *codes(judge(findings(unfamiliar=True))),
        *codes(judge(findings(florets(20, cavity_seen=LIMITS.cavity_seen_least)))),
    }
    assert given >= {code.value for code in ReasonCode}


def test_different_tags_are_the_first_reason_whatever_else_is_seen():
    clean = [(findings(), quality())] * 2
    assert assess(clean, thresholds=LIMITS, tags=["K7Q29XMT"]).verdict is Verdict.PASS
    answer = assess(clean, thresholds=LIMITS, tags=["K7Q29XMT", "CDFG2345"])
    assert answer.verdict is Verdict.REVIEW
    assert codes(answer) == ["several_tags"]
    assert "(K7Q2 9XMT, CDFG 2345)" in answer.reasons[0].message
    ripe = [(findings(anthers=[anther("L1", near_anthesis=True)]), quality())]
    answer = assess(ripe, thresholds=LIMITS, tags=["K7Q29XMT", "CDFG2345"])
    assert codes(answer)[:2] == ["several_tags", "too_close_to_anthesis"]
