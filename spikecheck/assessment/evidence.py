"""What one photo says of each floret: its status, and how likely an anther is left in it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.assessment.risk import clear_floret_risk, probability_of_any
from spikecheck.vocabulary import FloretStatus, JudgedFloret, QualityProblem

if TYPE_CHECKING:
    from spikecheck.thresholds import AssessmentThresholds
    from spikecheck.vocabulary import Anther, Calibration, Findings, Floret, PhotoQuality


@dataclass(frozen=True, slots=True)
class PhotoEvidence:
    """One photo, read floret by floret.

    Parameters
    ----------
    findings, quality
        As they were found and judged.
    blocked
        Whether the photo cannot be judged, or is unlike those the finder knows: what it does not
        show proves nothing.
    florets
        The florets of ``findings`` with their status, in the same order.
    leftovers
        The anthers that count, those in a floret of this photo and those outside.
    suspected
        Ids of the florets in which an anther may show though no mark in them counts.
    missing
        How many florets a prepared spike would show that were not recognised.
    """

    findings: Findings
    quality: PhotoQuality
    blocked: bool
    florets: tuple[JudgedFloret, ...]
    leftovers: tuple[Anther, ...]
    suspected: frozenset[str]
    missing: int

    @property
    def outside_risks(self) -> tuple[float, ...]:
        """Probabilities of the anthers that sit in no floret of this photo.

        Calibrated scores are probabilities whether they count as leftovers or not.
        """
        ids = {judged.floret.id for judged in self.florets}
        calibrated = self.findings.calibration is not None and self.findings.spike is not None
        marks = self.findings.anthers if calibrated else self.leftovers
        return tuple(anther.score for anther in marks if anther.floret not in ids)


def read_evidence(
    findings: Findings, quality: PhotoQuality, *, thresholds: AssessmentThresholds
) -> PhotoEvidence:
    """Judge every floret of one photo.

    Parameters
    ----------
    findings
        What was found.
    quality
        How well the photo can be judged. In a photo that cannot be judged a floret without an
        anther counts as not seen.
    thresholds
        When a mark is a leftover and a floret is seen.

    Returns
    -------
    PhotoEvidence
        Where no spike was recognised, marks are no leftovers: there is nothing they belong to.
    """
    blocked = findings.unfamiliar or (
        not quality.usable and set(quality.problems) != {QualityProblem.NOT_PREPARED}
    )
    leftovers: tuple[Anther, ...] = ()
    if findings.spike is not None:
        leftovers = tuple(
            anther
            for anther in findings.anthers
            if counts_as_leftover(anther.score, findings.calibration, thresholds=thresholds)
        )
    marked = {anther.floret for anther in leftovers}
    suspected = frozenset(
        floret.id
        for floret in findings.florets
        if floret.id not in marked
        and floret.p_anther is not None
        and counts_as_leftover(floret.p_anther, findings.calibration, thresholds=thresholds)
    )
    florets = tuple(
        _judge(
            floret,
            tuple(anther.score for anther in leftovers if anther.floret == floret.id),
            suspected=floret.id in suspected,
            blocked=blocked,
            thresholds=thresholds,
        )
        for floret in findings.florets
    )
    missing = max(0, round(thresholds.florets_least) - len(florets))
    return PhotoEvidence(findings, quality, blocked, florets, leftovers, suspected, missing)


def counts_as_leftover(
    score: float, calibration: Calibration | None, *, thresholds: AssessmentThresholds
) -> bool:
    """Whether a mark or a floret of this score keeps the spike from passing.

    Parameters
    ----------
    score
        Of a mark, or the probability that an anther shows in a floret, 0..1.
    calibration
        Holds the pass limit; without one the low limit of the thresholds stands.
    thresholds
        When an uncalibrated mark is a leftover.
    """
    if calibration is None:
        return score >= thresholds.anther_score_least
    return score > calibration.pass_score_most


def _judge(
    floret: Floret,
    scores: tuple[float, ...],
    *,
    suspected: bool,
    blocked: bool,
    thresholds: AssessmentThresholds,
) -> JudgedFloret:
    prior = thresholds.floret_leftover_prior
    if not floret.clipped:
        # A photo that cannot be judged does not show that a top is uncut; the risk stays.
        status = FloretStatus.NOT_SEEN if blocked else FloretStatus.NOT_CLIPPED
        p_hidden = thresholds.not_clipped_leftover
    elif blocked or floret.cavity_seen < thresholds.cavity_seen_least:
        status, p_hidden = FloretStatus.NOT_SEEN, prior
    else:
        status = FloretStatus.CLEAR
        # With a probability of what shows, only the part out of sight is left to the prior.
        recall = thresholds.finder_recall if floret.p_anther is None else 1.0
        p_hidden = clear_floret_risk(floret.cavity_seen, prior=prior, recall=recall)
    p_shown = () if floret.p_anther is None else (floret.p_anther,)
    if scores or suspected:
        status = FloretStatus.ANTHER
    if not scores and not p_shown:
        return JudgedFloret(floret, status, p_hidden)
    return JudgedFloret(floret, status, probability_of_any((*scores, *p_shown, p_hidden)))
