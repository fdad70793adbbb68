"""What one photo says of each floret: its status, and how likely an anther is left in it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.assessment.risk import clear_floret_risk, probability_of_any
from spikecheck.vocabulary import FloretStatus, JudgedFloret, QualityProblem

if TYPE_CHECKING:
    from spikecheck.thresholds import AssessmentThresholds
    from spikecheck.vocabulary import Anther, Findings, Floret, PhotoQuality


@dataclass(frozen=True, slots=True)
class PhotoEvidence:
    """One photo, read floret by floret.

    Parameters
    ----------
    findings, quality
        As they were found and judged.
    blocked
        Whether the photo cannot be judged: what it does not show proves nothing.
    florets
        The florets of ``findings`` with their status, in the same order.
    leftovers
        The anthers that count, those in a floret of this photo and those outside.
    missing
        How many florets a prepared spike would show that were not recognised.
    """

    findings: Findings
    quality: PhotoQuality
    blocked: bool
    florets: tuple[JudgedFloret, ...]
    leftovers: tuple[Anther, ...]
    missing: int

    @property
    def outside(self) -> tuple[Anther, ...]:
        """The leftovers that sit in no floret of this photo."""
        ids = {judged.floret.id for judged in self.florets}
        return tuple(anther for anther in self.leftovers if anther.floret not in ids)


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
    blocked = not quality.usable and set(quality.problems) != {QualityProblem.NOT_PREPARED}
    leftovers: tuple[Anther, ...] = ()
    if findings.spike is not None:
        leftovers = tuple(
            anther for anther in findings.anthers if anther.score >= thresholds.anther_score_least
        )
    florets = tuple(
        _judge(
            floret,
            tuple(anther.score for anther in leftovers if anther.floret == floret.id),
            blocked=blocked,
            thresholds=thresholds,
        )
        for floret in findings.florets
    )
    missing = max(0, round(thresholds.florets_least) - len(florets))
    return PhotoEvidence(findings, quality, blocked, florets, leftovers, missing)


def _judge(
    floret: Floret, scores: tuple[float, ...], *, blocked: bool, thresholds: AssessmentThresholds
) -> JudgedFloret:
    prior = thresholds.floret_leftover_prior
    if not floret.clipped:
        # A photo that cannot be judged does not show that a top is uncut; the risk stays.
        status = FloretStatus.NOT_SEEN if blocked else FloretStatus.NOT_CLIPPED
        p_without_marks = thresholds.not_clipped_leftover
    elif blocked or floret.cavity_seen < thresholds.cavity_seen_least:
        status, p_without_marks = FloretStatus.NOT_SEEN, prior
    else:
        status = FloretStatus.CLEAR
        p_without_marks = clear_floret_risk(
            floret.cavity_seen, prior=prior, recall=thresholds.finder_recall
        )
    if not scores:
        return JudgedFloret(floret, status, p_without_marks)
    p_leftover = probability_of_any((*scores, p_without_marks))
    return JudgedFloret(floret, FloretStatus.ANTHER, p_leftover)
