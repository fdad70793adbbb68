"""All photos of an evaluation together."""

from __future__ import annotations

from collections import Counter
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
from spikecheck.vocabulary import AntherStage, QualityProblem, Verdict

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from spikecheck.evaluation.records import AntherCount, Comparison, PhotoOutcome

AREA_CLASSES_MM2 = (
    ("under 0.25 mm²", 0.0, 0.25),
    ("0.25 to 1 mm²", 0.25, 1.0),
    ("1 mm² and more", 1.0, float("inf")),
)


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
        compare(outcome.truth, outcome.result)
        for outcome in outcomes
        if outcome.truth is not None and outcome.result is not None
    )
    return Evaluation(
        outcomes=tuple(outcomes),
        comparisons=comparisons,
        anthers=_anther_scores(comparisons),
        florets=_floret_scores(comparisons),
        verdicts=_verdict_scores(outcomes, comparisons),
        scale=_scale_scores(comparisons),
    )


def _share_of(flags: Iterable[bool]) -> Proportion:
    counted = [bool(flag) for flag in flags]
    return Proportion(sum(counted), len(counted))


def _anther_scores(comparisons: Sequence[Comparison]) -> AntherScores:
    shown = [anther for photo in comparisons for anther in photo.anthers if _shows(anther)]
    found = [anther for anther in shown if anther.found]
    reported = [mark for photo in comparisons for mark in photo.reported or ()]
    return AntherScores(
        recall=_share_of(anther.found for anther in shown),
        recall_judgeable=_share_of(
            anther.found
            for photo in comparisons
            if photo.judgeable
            for anther in photo.anthers
            if _shows(anther)
        ),
        recall_by_stage=tuple(
            (stage, _share_of(anther.found for anther in shown if anther.stage is stage))
            for stage in AntherStage
        ),
        recall_by_area=tuple(
            (name, _share_of(a.found for a in shown if _within(a.visible_area_mm2, low, high)))
            for name, low, high in AREA_CLASSES_MM2
        ),
        precision=_share_of(is_there for _, is_there in reported),
        precision_by_stage=tuple(
            (stage, _share_of(is_there for told, is_there in reported if told is stage))
            for stage in AntherStage
        ),
        stage_right=_share_of(a.found_stage is a.stage for a in found if a.stage is not None),
        ripe_told=_share_of(anther.found_ripe for anther in found if anther.ripe),
        right_floret=_share_of(a.right_floret for a in found if a.right_floret is not None),
    )


def _shows(anther: AntherCount) -> bool:
    """Whether anything of the anther can be seen: what is fully hidden no photo can find."""
    return anther.visible_area_mm2 is None or anther.visible_area_mm2 > 0


def _within(area_mm2: float | None, low: float, high: float) -> bool:
    return area_mm2 is not None and low <= area_mm2 < high


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
        leftover_passed=_share_of(_passed(photo) for photo in comparisons if photo.has_leftover),
        review_passed=_share_of(
            _passed(photo) for photo in comparisons if photo.true_verdict is Verdict.REVIEW
        ),
        clean_passed=_share_of(
            _passed(photo) for photo in comparisons if photo.true_verdict is Verdict.PASS
        ),
        problems_right=_share_of(photo.problems == photo.true_problems for photo in known),
        problem_found=tuple(
            (
                problem,
                _share_of(
                    problem in photo.problems
                    for photo in known
                    if problem in (photo.true_problems or ())
                ),
            )
            for problem in QualityProblem
        ),
    )


def _passed(photo: Comparison) -> bool:
    return photo.verdict is Verdict.PASS


def _scale_scores(comparisons: Sequence[Comparison]) -> ScaleScores:
    errors = [photo.scale_error for photo in comparisons if photo.scale_error is not None]
    return ScaleScores(
        median_error=median(errors) if errors else None,
        median_absolute_error=median(map(abs, errors)) if errors else None,
        held=_share_of(p.scale_held for p in comparisons if p.scale_held is not None),
    )
