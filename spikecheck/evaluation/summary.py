"""All photos of an evaluation together."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from statistics import median
from typing import TYPE_CHECKING

from spikecheck.evaluation.compare import compare
from spikecheck.evaluation.records import Proportion
from spikecheck.evaluation.scores import (
    AntherScores,
    Evaluation,
    FloretScores,
    ScaleScores,
    VerdictScores,
)
from spikecheck.evaluation.targets import AREA_CLASSES_MM2, share_of, target_scores, within
from spikecheck.vocabulary import AntherStage, QualityProblem, Verdict

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.evaluation.records import AntherCount, Comparison, PhotoOutcome


def summarise(outcomes: Sequence[PhotoOutcome]) -> Evaluation:
    """Compare every photo with its truth and count.

    Parameters
    ----------
    outcomes
        Photos with their answers, with or without truth.

    Returns
    -------
    Evaluation
        Proportions of nothing have no share.
    """
    comparisons = tuple(
        replace(compare(outcome.truth, outcome.result), file=outcome.file)
        for outcome in outcomes
        if outcome.truth is not None and outcome.result is not None
    )
    return score(outcomes, comparisons)


def score(outcomes: Sequence[PhotoOutcome], comparisons: Sequence[Comparison]) -> Evaluation:
    """Count over photos that are compared already.

    Parameters
    ----------
    outcomes
        Photos with their answers.
    comparisons
        Those of them that have truth and an answer.
    """
    return Evaluation(
        outcomes=tuple(outcomes),
        comparisons=tuple(comparisons),
        anthers=_anther_scores(comparisons),
        florets=_floret_scores(comparisons),
        verdicts=_verdict_scores(outcomes, comparisons),
        scale=_scale_scores(comparisons),
        targets=target_scores(comparisons),
    )


def _anther_scores(comparisons: Sequence[Comparison]) -> AntherScores:
    shown = [anther for photo in comparisons for anther in photo.anthers if _shows(anther)]
    found = [anther for anther in shown if anther.found]
    reported = [mark for photo in comparisons for mark in photo.reported or ()]
    return AntherScores(
        recall=share_of(anther.found for anther in shown),
        recall_judgeable=share_of(
            anther.found
            for photo in comparisons
            if photo.judgeable
            for anther in photo.anthers
            if _shows(anther)
        ),
        recall_by_stage=tuple(
            (stage, share_of(anther.found for anther in shown if anther.stage is stage))
            for stage in AntherStage
        ),
        recall_by_area=tuple(
            (name, share_of(a.found for a in shown if within(a.visible_area_mm2, low, high)))
            for name, low, high in AREA_CLASSES_MM2
        ),
        precision=share_of(is_there for _, is_there in reported),
        precision_by_stage=tuple(
            (stage, share_of(is_there for told, is_there in reported if told is stage))
            for stage in AntherStage
        ),
        stage_right=share_of(a.found_stage is a.stage for a in found if a.stage is not None),
        ripe_told=share_of(anther.found_ripe for anther in found if anther.ripe),
        right_floret=share_of(a.right_floret for a in found if a.right_floret is not None),
    )


def _shows(anther: AntherCount) -> bool:
    """Whether anything of the anther can be seen: what is fully hidden no photo can find."""
    return anther.visible_area_mm2 is None or anther.visible_area_mm2 > 0


def _floret_scores(comparisons: Sequence[Comparison]) -> FloretScores:
    counts = [photo.florets for photo in comparisons if photo.florets is not None]
    matched = sum(count.matched for count in counts)
    recall = Proportion(matched, sum(count.there for count in counts))
    precision = Proportion(matched, sum(count.found for count in counts))
    both = recall.trials + precision.trials
    errors = [count.found - count.there for count in counts]
    return FloretScores(
        recall=recall,
        precision=precision,
        f1=2 * matched / both if both else None,
        mean_count_error=sum(errors) / len(errors) if errors else None,
        mean_absolute_count_error=sum(map(abs, errors)) / len(errors) if errors else None,
        clipped_right=Proportion(sum(count.clipped_right for count in counts), matched),
    )


def _verdict_scores(
    outcomes: Sequence[PhotoOutcome], comparisons: Sequence[Comparison]
) -> VerdictScores:
    pairs = Counter(
        (None if outcome.truth is None else outcome.truth.verdict, outcome.result.verdict)
        for outcome in outcomes
        if outcome.result is not None
    )
    known = [photo for photo in comparisons if photo.true_problems is not None]
    return VerdictScores(
        table=tuple(
            (right, answer, pairs[right, answer])
            for right in (Verdict.PASS, Verdict.REVIEW, None)
            for answer in Verdict
        ),
        leftover_passed=share_of(photo.passed for photo in comparisons if photo.has_leftover),
        review_passed=share_of(
            photo.passed for photo in comparisons if photo.true_verdict is Verdict.REVIEW
        ),
        clean_passed=share_of(
            photo.passed for photo in comparisons if photo.true_verdict is Verdict.PASS
        ),
        problems_right=share_of(photo.problems == photo.true_problems for photo in known),
        problem_found=tuple(
            (
                problem,
                share_of(
                    problem in photo.problems
                    for photo in known
                    if problem in (photo.true_problems or ())
                ),
            )
            for problem in QualityProblem
        ),
    )


def _scale_scores(comparisons: Sequence[Comparison]) -> ScaleScores:
    errors = [photo.scale_error for photo in comparisons if photo.scale_error is not None]
    return ScaleScores(
        median_error=median(errors) if errors else None,
        median_absolute_error=median(map(abs, errors)) if errors else None,
        held=share_of(p.scale_held for p in comparisons if p.scale_held is not None),
    )
