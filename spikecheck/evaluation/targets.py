"""What a network is judged by, counted over all photos of an evaluation."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.evaluation.free_response import recall_with_few_false
from spikecheck.evaluation.records import Proportion
from spikecheck.evaluation.scores import TargetScores
from spikecheck.vocabulary import AntherStage, Verdict

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from spikecheck.evaluation.records import AntherCount, CavityCount, Comparison

VISIBLE_MM2 = 0.25  # from here on an anther counts as a visible leftover
AREA_CLASSES_MM2 = (
    ("under 0.25 mm²", 0.0, VISIBLE_MM2),
    ("0.25 to 1 mm²", VISIBLE_MM2, 1.0),
    ("1 mm² and more", 1.0, float("inf")),
)
_RECALL_FROM_MM2 = (VISIBLE_MM2, 1.0)
_PASSED_FROM_MM2 = (0.05, VISIBLE_MM2)  # the smaller one is about 5 x 5 px at 20 px/mm


def target_scores(comparisons: Sequence[Comparison]) -> TargetScores:
    """Count what a network is judged by.

    Parameters
    ----------
    comparisons
        Photos that have truth and an answer.
    """
    good = [photo for photo in comparisons if photo.good]
    bad = [photo for photo in comparisons if not photo.judgeable]
    anthers = [anther for photo in good for anther in photo.anthers]
    cavities = [photo.cavities for photo in good if photo.cavities is not None]
    recall = Proportion(
        sum(count.matched for count in cavities), sum(count.there for count in cavities)
    )
    precision = Proportion(recall.events, recall.events + sum(count.imagined for count in cavities))
    both = recall.trials + precision.trials
    return TargetScores(
        recall=tuple(
            (least, share_of(a.found for a in anthers if _at_least(a, least)))
            for least in _RECALL_FROM_MM2
        ),
        recall_with_few_false=tuple(
            (least, recall_with_few_false(good, least_mm2=least)) for least in _RECALL_FROM_MM2
        ),
        recall_by_stage_and_area=tuple(
            (
                stage,
                name,
                share_of(
                    a.found
                    for a in anthers
                    if a.stage is stage and within(a.visible_area_mm2, low, high)
                ),
            )
            for stage in AntherStage
            for name, low, high in AREA_CLASSES_MM2
        ),
        told=tuple(
            (least, share_of(a.told for a in anthers if _at_least(a, least)))
            for least in _RECALL_FROM_MM2
        ),
        stage_right=share_of(
            a.found_stage is a.stage
            for a in anthers
            if a.found and a.stage is not None and _at_least(a, VISIBLE_MM2)
        ),
        false_marks=_mean(photo.false_marks for photo in good),
        false_florets=_mean(photo.false_florets for photo in good),
        leftover_passed=tuple(
            (least, share_of(photo.passed for photo in good if photo.shows(least)))
            for least in _PASSED_FROM_MM2
        ),
        cavity_recall=recall,
        cavity_precision=precision,
        cavity_f1=2 * recall.events / both if both else None,
        cavity_count_error=_mean(map(_count_error, cavities)),
        unjudgeable_reviewed=share_of(photo.verdict is Verdict.REVIEW for photo in bad),
        right_problem=share_of((photo.true_problems or set()) <= photo.problems for photo in bad),
        unfamiliar=share_of(photo.unfamiliar for photo in comparisons),
    )


def share_of(flags: Iterable[bool]) -> Proportion:
    """Return how many of the flags are set."""
    counted = [bool(flag) for flag in flags]
    return Proportion(sum(counted), len(counted))


def within(area_mm2: float | None, low: float, high: float) -> bool:
    """Whether an area is known and lies in ``low <= area < high``."""
    return area_mm2 is not None and low <= area_mm2 < high


def _at_least(anther: AntherCount, least_mm2: float) -> bool:
    return within(anther.visible_area_mm2, least_mm2, float("inf"))


def _count_error(count: CavityCount) -> int:
    return abs(count.matched + count.imagined - count.there)


def _mean(numbers: Iterable[int | None]) -> float | None:
    known = [number for number in numbers if number is not None]
    return sum(known) / len(known) if known else None
