"""The scores an evaluation ends with."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from spikecheck.evaluation.records import Comparison, PhotoOutcome, Proportion
    from spikecheck.vocabulary import AntherStage, QualityProblem, Verdict


@dataclass(frozen=True, slots=True)
class AntherScores:
    """How well anthers are found.

    Parameters
    ----------
    recall
        Of the anthers of which something shows, how many were found.
    recall_judgeable
        The same in photos with no problem that hides florets.
    recall_by_stage, recall_by_area
        The same apart; anthers whose stage or area is not recorded are in neither.
    precision, precision_by_stage
        Of the reported anthers, how many are there; stage as reported. Only photos in which every
        visible anther is marked.
    stage_right
        Of those found, how many at the right stage.
    ripe_told
        Of those found that are near anthesis or past it, how many were taken for such.
    right_floret
        Of those found, how many were put into their own floret.
    """

    recall: Proportion
    recall_judgeable: Proportion
    recall_by_stage: tuple[tuple[AntherStage, Proportion], ...]
    recall_by_area: tuple[tuple[str, Proportion], ...]
    precision: Proportion
    precision_by_stage: tuple[tuple[AntherStage, Proportion], ...]
    stage_right: Proportion
    ripe_told: Proportion
    right_floret: Proportion


@dataclass(frozen=True, slots=True)
class FloretScores:
    """How well florets are found, over the photos in which they are marked.

    Parameters
    ----------
    recall, precision
        As for anthers.
    f1
        Harmonic mean of the two, or None without florets.
    mean_count_error
        Mean of reported minus true florets per photo, or None without such photos.
    mean_absolute_count_error
        Mean of the same without sign.
    clipped_right
        Of the pairs, how many were rightly told clipped or not.
    """

    recall: Proportion
    precision: Proportion
    f1: float | None
    mean_count_error: float | None
    mean_absolute_count_error: float | None
    clipped_right: Proportion


@dataclass(frozen=True, slots=True)
class VerdictScores:
    """How right the answers are.

    Parameters
    ----------
    table
        Number of photos by right answer (None: not known) and answer.
    leftover_passed
        Of the photos with an anther in it, how many pass: the mistake that costs a cross.
    review_passed
        Of all photos whose right answer is review, how many pass.
    clean_passed
        Of the photos whose right answer is pass, how many pass.
    problems_right
        Of the photos whose problems are known, in how many exactly those were named.
    problem_found
        By problem: of the photos that have it, how many were told so.
    """

    table: tuple[tuple[Verdict | None, Verdict, int], ...]
    leftover_passed: Proportion
    review_passed: Proportion
    clean_passed: Proportion
    problems_right: Proportion
    problem_found: tuple[tuple[QualityProblem, Proportion], ...]


@dataclass(frozen=True, slots=True)
class ScaleScores:
    """How right the scale is.

    Parameters
    ----------
    median_error, median_absolute_error
        Median of reported divided by true scale, minus 1; without sign. None without a scale.
    held
        How often the true scale lies within the reported bounds.
    """

    median_error: float | None
    median_absolute_error: float | None
    held: Proportion


@dataclass(frozen=True, slots=True)
class TargetScores:
    """What a network is judged by; visible leftovers are those of which a stated area shows.

    All but the last three is counted in good photos: nothing is wrong with them and the spike is
    prepared. Bad ones and spikes that nobody prepared go to review anyway and would only make the
    shares look better. A mark on an anther smaller than the stated area is neither false nor makes
    up for a missed one.

    Parameters
    ----------
    recall
        By least visible area, mm²: of such anthers, how many were found.
    recall_with_few_false
        By least visible area, mm²: of such anthers, how many are found by marks of a score so high
        that 0.05 a photo are false.
    recall_by_stage_and_area
        By stage and class of area.
    told
        By least visible area, mm²: found, or in a floret told as one that may hold an anther.
    stage_right
        Of the found ones of 0.25 mm² and more, how many at the right stage.
    false_marks, false_florets
        Mean number in a photo of marks that are no anther, and of florets told to hold one that
        have neither; None without such photos.
    leftover_passed
        By least visible area, mm²: of the spikes of which so much of an anther shows, how many
        pass.
    cavity_recall, cavity_precision, cavity_f1, cavity_count_error
        Florets that can be looked into; the error is the mean number a photo is wrong by.
    unjudgeable_reviewed, right_problem
        Of the photos that cannot be judged, how many go to review, and how many are told all that
        is wrong with them, perhaps with something more.
    unfamiliar
        Of all photos, how many were told to be unlike those the finder knows.
    """

    recall: tuple[tuple[float, Proportion], ...]
    recall_with_few_false: tuple[tuple[float, Proportion], ...]
    recall_by_stage_and_area: tuple[tuple[AntherStage, str, Proportion], ...]
    told: tuple[tuple[float, Proportion], ...]
    stage_right: Proportion
    false_marks: float | None
    false_florets: float | None
    leftover_passed: tuple[tuple[float, Proportion], ...]
    cavity_recall: Proportion
    cavity_precision: Proportion
    cavity_f1: float | None
    cavity_count_error: float | None
    unjudgeable_reviewed: Proportion
    right_problem: Proportion
    unfamiliar: Proportion


@dataclass(frozen=True, slots=True)
class Evaluation:
    """The outcome of an evaluation.

    Parameters
    ----------
    outcomes
        Every photo of the folder with its answer.
    comparisons
        The photos that have truth and could be read.
    anthers, florets, verdicts, scale, targets
        The scores over ``comparisons``; ``verdicts.table`` also counts photos without truth.
    """

    outcomes: tuple[PhotoOutcome, ...]
    comparisons: tuple[Comparison, ...]
    anthers: AntherScores
    florets: FloretScores
    verdicts: VerdictScores
    scale: ScaleScores
    targets: TargetScores
