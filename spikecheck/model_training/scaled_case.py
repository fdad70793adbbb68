"""What a photo of a looked-at set says once its raw scores are scaled and a pass limit is set."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from spikecheck import __version__
from spikecheck.assessment import assess
from spikecheck.evaluation.matching import MatchRule, match
from spikecheck.model_training.logit_scaling import (
    fit_logit_scaling,
    logits_of,
    soft_targets,
)
from spikecheck.networks import LogitScaling
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import CheckResult, PhotoResult

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from numpy.typing import NDArray

    from spikecheck.model_training.looked_at_set import Case
    from spikecheck.vocabulary import Calibration, PhotoTruth

RAW = LogitScaling(1.0, 0.0)  # scores as the network gives them


@dataclass(frozen=True, slots=True)
class Scalings:
    """Scaling of the two kinds of score.

    Parameters
    ----------
    floret
        Of the logit that an anther shows in a floret.
    anther
        Of the logit of a mark.
    """

    floret: LogitScaling = RAW
    anther: LogitScaling = RAW


@dataclass(frozen=True, slots=True, eq=False)
class Outcomes:
    """Scores of one kind and what happened.

    Parameters
    ----------
    logits
        float64 of shape (n,): raw logits.
    happened
        bool of shape (n,): whether an anther is really there.
    """

    logits: NDArray[np.float64]
    happened: NDArray[np.bool_]


def scaled_case(case: Case, scalings: Scalings) -> Case:
    """Return the case with scaled scores instead of raw ones."""
    findings = replace(
        case.findings,
        florets=tuple(
            replace(floret, p_anther=_scaled(floret.p_anther or 0.0, scalings.floret))
            for floret in case.findings.florets
        ),
        anthers=tuple(
            replace(anther, score=_scaled(anther.score, scalings.anther))
            for anther in case.findings.anthers
        ),
    )
    return replace(case, findings=findings)


def result_of(case: Case, calibration: Calibration | None) -> CheckResult:
    """Return the answer for one photo under a pass limit, as the pipeline would give it.

    Parameters
    ----------
    case
        With scaled scores.
    calibration
        Holds the limit.
    """
    findings = replace(case.findings, calibration=calibration)
    answer = assess([(findings, case.quality)], thresholds=load_thresholds().assessment)
    photo = PhotoResult(
        case.file, "", case.truth.width, case.truth.height, None, case.quality, findings,
        answer.florets[0],
    )  # fmt: skip
    return CheckResult(
        answer.verdict, answer.reasons, answer.risk, (photo,), {}, software_version=__version__
    )


def is_good(truth: PhotoTruth) -> bool:
    """Whether nothing is wrong with the photo and the spike is prepared."""
    return not truth.problems


def floret_outcomes(cases: Iterable[Case]) -> Outcomes:
    """Return the scores of reported florets that are there, and whether an anther shows in them.

    Only good photos: the others go to review, whatever the scores.
    """
    return _outcomes(_floret_pairs(case) for case in cases if _usable(case))


def anther_outcomes(cases: Iterable[Case]) -> Outcomes:
    """Return the scores of all marks, and whether each lies on an anther; photos as above."""
    return _outcomes(_anther_pairs(case) for case in cases if _usable(case))


def fit_scalings(cases: Sequence[Case]) -> Scalings:
    """Fit both scalings on a set.

    Where every mark is an anther, marks keep their raw scores: there is nothing to learn from.

    Raises
    ------
    CalibrationError
        If no floret holds an anther or every one does, or higher scores mean less.
    """
    florets, marks = floret_outcomes(cases), anther_outcomes(cases)
    telling = marks.happened.any() and not marks.happened.all()
    return Scalings(
        floret=fit_logit_scaling(florets.logits, soft_targets(florets.happened)),
        anther=fit_logit_scaling(marks.logits, soft_targets(marks.happened)) if telling else RAW,
    )


def _scaled(score: float, scaling: LogitScaling) -> float:
    return scaling.probability(float(logits_of(RAW, np.array([score]))[0]))


def _usable(case: Case) -> bool:
    truth = case.truth
    marked = truth.complete and truth.florets is not None and truth.px_per_mm is not None
    return marked and is_good(truth) and case.findings.spike is not None


def _floret_pairs(case: Case) -> Iterator[tuple[float, bool]]:
    there, found = case.truth.florets or (), case.findings.florets
    reach_px = MatchRule().floret_mm * (case.truth.px_per_mm or 1.0)
    holding = {anther.floret for anther in case.truth.anthers}
    for true, told in match(there, found, tolerance_px=reach_px):
        p = found[told].p_anther
        if p is not None:
            yield p, there[true].id in holding


def _anther_pairs(case: Case) -> Iterator[tuple[float, bool]]:
    marks = case.findings.anthers
    reach_px = MatchRule().anther_mm * (case.truth.px_per_mm or 1.0)
    right = {told for _, told in match(case.truth.anthers, marks, tolerance_px=reach_px)}
    for number, mark in enumerate(marks):
        yield mark.score, number in right


def _outcomes(pairs: Iterable[Iterable[tuple[float, bool]]]) -> Outcomes:
    together = [pair for of_photo in pairs for pair in of_photo]
    scores = np.array([score for score, _ in together], dtype=np.float64)
    happened = np.array([there for _, there in together], dtype=bool)
    return Outcomes(logits_of(RAW, scores), happened)
