"""Pass or review for one spike, from the findings in one or more photos of it.

Pass needs that every photo can be judged and is of a kind the finder knows, every floret in it is
clipped, looked into and clear, nothing clings elsewhere, no part was left unread and the florets
together are likely clean. Anything else is review. Where the finder is calibrated, clear means that
no mark and no floret scores above its pass limit.

Several photos are faces of one spike. They are not registered to each other, so a floret that is
not seen in one photo is not excused by another photo, in which it may or may not be a floret of
another name: it stays a reason for review, and more photos can only add reasons.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.assessment import wording
from spikecheck.assessment.evidence import read_evidence
from spikecheck.assessment.reasons import photo_reasons
from spikecheck.assessment.risk import probability_of_any, selfed_share
from spikecheck.errors import UsageError
from spikecheck.language import _, in_language
from spikecheck.vocabulary import FloretStatus, Reason, ReasonCode, Risk, Verdict

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.assessment.evidence import PhotoEvidence
    from spikecheck.thresholds import AssessmentThresholds
    from spikecheck.vocabulary import Findings, JudgedFloret, PhotoQuality

_SEEN = (FloretStatus.CLEAR, FloretStatus.ANTHER)


@dataclass(frozen=True, slots=True)
class Assessment:
    """The answer on one spike.

    Parameters
    ----------
    verdict
        Pass or review.
    reasons
        Most urgent first; never empty on review, only notes on pass.
    risk
        How likely an anther was left.
    florets
        For each photo its florets, judged, in the order of the findings.
    """

    verdict: Verdict
    reasons: tuple[Reason, ...]
    risk: Risk
    florets: tuple[tuple[JudgedFloret, ...], ...]


def assess(
    photos: Sequence[tuple[Findings, PhotoQuality]],
    *,
    thresholds: AssessmentThresholds,
    tags: Sequence[str] = (),
) -> Assessment:
    """Judge one spike.

    Parameters
    ----------
    photos
        Findings and quality of each photo; all photos are faces of one spike.
    thresholds
        When a spike passes.
    tags
        The codes of all tags that were read in the photos, each once. Several mean that the photos
        may be of several spikes, and nothing is known of any.

    Returns
    -------
    Assessment
        The verdict with everything it rests on.

    Raises
    ------
    UsageError
        If there is no photo.
    """
    if not photos:
        raise UsageError(_("nothing to judge"), cure=_("Give at least one photo of the spike"))
    evidence = [
        read_evidence(findings, quality, thresholds=thresholds) for findings, quality in photos
    ]
    risk = _risk(evidence, thresholds)
    # A result is filed, and read by others than whoever had it made: see ``retelling``.
    with in_language(None):
        reasons = _reasons(evidence, tags, risk, thresholds)
        verdict = Verdict.REVIEW if reasons else Verdict.PASS
        if verdict is Verdict.PASS and len(photos) == 1:
            reasons = (Reason(ReasonCode.ONE_FACE_ONLY, wording.one_face_only()),)
    return Assessment(verdict, reasons, risk, tuple(entry.florets for entry in evidence))


def _reasons(
    evidence: Sequence[PhotoEvidence],
    tags: Sequence[str],
    risk: Risk,
    thresholds: AssessmentThresholds,
) -> tuple[Reason, ...]:
    """Return every reason for review."""
    reasons = photo_reasons(evidence, thresholds=thresholds)
    if len(tags) > 1:
        return (Reason(ReasonCode.SEVERAL_TAGS, wording.several_tags(tags)), *reasons)
    if not reasons and risk.p_leftover > thresholds.p_leftover_most:
        # Beside a reason that can be pointed at, the risk would only say the same again.
        message = wording.risk_too_high(risk.p_leftover, thresholds.p_leftover_most)
        return (Reason(ReasonCode.RISK_TOO_HIGH, message),)
    return reasons


def _risk(photos: Sequence[PhotoEvidence], thresholds: AssessmentThresholds) -> Risk:
    florets = [judged for evidence in photos for judged in evidence.florets]
    outside = [risk for evidence in photos for risk in evidence.outside_risks]
    missing = sum(evidence.missing for evidence in photos)
    floret_risks = [
        *(judged.p_leftover for judged in florets),
        *[thresholds.floret_leftover_prior] * missing,
    ]
    share = None
    if any(judged.status in _SEEN for judged in florets):
        share = selfed_share(floret_risks, outside, cross_seed_set=thresholds.cross_seed_set)
    return Risk(
        p_leftover=probability_of_any((*floret_risks, *outside)),
        expected_selfed_share=share,
        calibrated=all(
            evidence.findings.calibration is not None and not evidence.findings.unfamiliar
            for evidence in photos
        ),
    )
