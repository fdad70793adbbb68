"""An evaluation as plain rows for a table."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.evaluation.free_response import FALSE_PER_PHOTO

if TYPE_CHECKING:
    from collections.abc import Iterator

    from spikecheck.evaluation.records import Proportion
    from spikecheck.evaluation.scores import Evaluation


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table.

    Parameters
    ----------
    group
        What it is about: verdict, anthers, florets, photo problems or scale.
    name
        What is counted.
    events, trials
        Counts behind a proportion; None for a plain number.
    value
        The proportion or number; None when there was nothing to count.
    low, high
        95 % interval of a proportion: the exact one for rates of wrong passes, else Wilson's.
    """

    group: str
    name: str
    events: int | None
    trials: int | None
    value: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class VerdictLine:
    """One line of the verdict table.

    Parameters
    ----------
    truth
        ``"pass"``, ``"review"`` or ``"not known"``.
    passed, reviewed
        How many photos of this kind pass and go to review.
    """

    truth: str
    passed: int
    reviewed: int


def rows(evaluation: Evaluation) -> list[Row]:
    """Return the scores, most important first; what there was nothing to count for is left out."""
    lines = (
        *_verdict_rows(evaluation), *_anther_rows(evaluation), *_floret_rows(evaluation),
        *_problem_rows(evaluation), *_scale_rows(evaluation),
    )  # fmt: skip
    return [line for line in lines if line.value is not None]


def verdict_table(evaluation: Evaluation) -> list[VerdictLine]:
    """Return truth by answer, in numbers of photos; kinds without photos are left out."""
    counts: dict[str, dict[str, int]] = {}
    for right, answer, number in evaluation.verdicts.table:
        counts.setdefault("not known" if right is None else right.value, {})[answer.value] = number
    lines = [VerdictLine(truth, count["pass"], count["review"]) for truth, count in counts.items()]
    return [line for line in lines if line.passed or line.reviewed]


def _verdict_rows(evaluation: Evaluation) -> Iterator[Row]:
    scores = evaluation.verdicts
    yield _safety("verdict", "spikes with a leftover that pass", scores.leftover_passed)
    yield _safety("verdict", "spikes to review that pass", scores.review_passed)
    for least, share in reversed(evaluation.targets.leftover_passed):
        name = f"good photos: spikes with {least:g} mm² or more of an anther in sight that pass"
        yield _safety("verdict", name, share)
    yield _proportion("verdict", "clean spikes that pass", scores.clean_passed)
    bad = evaluation.targets.unjudgeable_reviewed
    yield _proportion("verdict", "photos that cannot be judged sent to review", bad)


def _anther_rows(evaluation: Evaluation) -> Iterator[Row]:
    scores, targets = evaluation.anthers, evaluation.targets
    yield _proportion("anthers", "recall", scores.recall)
    yield _proportion("anthers", "recall in photos that can be judged", scores.recall_judgeable)
    for least, share in targets.recall:
        yield _proportion("anthers", f"good photos: recall, {least:g} mm² or more visible", share)
    for least, share in targets.recall_with_few_false:
        few = f"at {FALSE_PER_PHOTO:g} false a photo"
        name = f"good photos: recall {few}, {least:g} mm² or more visible"
        yield _proportion("anthers", name, share)
    for least, share in targets.told:
        name = f"good photos: marked or floret told, {least:g} mm² or more visible"
        yield _proportion("anthers", name, share)
    for stage, share in scores.recall_by_stage:
        yield _proportion("anthers", f"recall, {stage}", share)
    for name, share in scores.recall_by_area:
        yield _proportion("anthers", f"recall, {name} visible", share)
    for stage, name, share in targets.recall_by_stage_and_area:
        yield _proportion("anthers", f"good photos: recall, {stage}, {name} visible", share)
    yield _proportion("anthers", "precision", scores.precision)
    for stage, share in scores.precision_by_stage:
        yield _proportion("anthers", f"precision, {stage}", share)
    yield _number("anthers", "good photos: false marks per photo", targets.false_marks)
    yield _number("anthers", "good photos: florets wrongly told per photo", targets.false_florets)
    yield _proportion("anthers", "stage right", scores.stage_right)
    yield _proportion("anthers", "good photos: stage right, 0.25 mm² or more", targets.stage_right)
    yield _proportion("anthers", "ripe ones told as ripe", scores.ripe_told)
    yield _proportion("anthers", "in the right floret", scores.right_floret)


def _floret_rows(evaluation: Evaluation) -> Iterator[Row]:
    scores = evaluation.florets
    yield _proportion("florets", "recall", scores.recall)
    yield _proportion("florets", "precision", scores.precision)
    yield _number("florets", "F1", scores.f1)
    yield _number("florets", "count error, mean per photo", scores.mean_count_error)
    yield _number(
        "florets", "count error without sign, mean per photo", scores.mean_absolute_count_error
    )
    yield _proportion("florets", "clipped or not right", scores.clipped_right)
    targets = evaluation.targets
    yield _proportion("florets", "good photos: can be looked into, recall", targets.cavity_recall)
    yield _proportion(
        "florets", "good photos: can be looked into, precision", targets.cavity_precision
    )
    yield _number("florets", "good photos: can be looked into, F1", targets.cavity_f1)
    yield _number(
        "florets",
        "good photos: can be looked into, count error without sign",
        targets.cavity_count_error,
    )


def _problem_rows(evaluation: Evaluation) -> Iterator[Row]:
    scores = evaluation.verdicts
    yield _proportion("photo problems", "exactly right", scores.problems_right)
    right = evaluation.targets.right_problem
    yield _proportion("photo problems", "right one told of photos that cannot be judged", right)
    unfamiliar = evaluation.targets.unfamiliar
    yield _proportion("photo problems", "told to be unfamiliar", unfamiliar)
    for problem, share in scores.problem_found:
        yield _proportion("photo problems", f"{problem} found", share)


def _scale_rows(evaluation: Evaluation) -> Iterator[Row]:
    scores = evaluation.scale
    yield _number("scale", "relative error, median", scores.median_error)
    yield _number("scale", "relative error without sign, median", scores.median_absolute_error)
    yield _proportion("scale", "true scale within the bounds", scores.held)


def _proportion(group: str, name: str, share: Proportion) -> Row:
    low, high = share.wilson or (None, None)
    return Row(group, name, share.events, share.trials, share.share, low, high)


def _safety(group: str, name: str, share: Proportion) -> Row:
    low, high = share.exact or (None, None)
    return Row(group, name, share.events, share.trials, share.share, low, high)


def _number(group: str, name: str, value: float | None) -> Row:
    return Row(group, name, None, None, value, None, None)
