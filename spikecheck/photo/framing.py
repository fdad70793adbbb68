"""Whether the right thing is in the picture, whole, large enough and prepared.

Nothing is measured on pixels here: what the finder reports is held against the thresholds.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.vocabulary.quality import QualityProblem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from spikecheck.thresholds import QualityThresholds
    from spikecheck.vocabulary.findings import Findings
    from spikecheck.vocabulary.spike import Spike


def reckoned_px_per_mm(findings: Findings, spike: Spike, *, thresholds: QualityThresholds) -> float:
    """Return the px/mm that blur is reckoned with: the least the photo may have.

    That is the scale's lower bound; without a scale the spike is taken as the longest a prepared
    one can be. The photo is then never thought sharper than it is.
    """
    if findings.scale is not None:
        return findings.scale.low
    return max(spike.length_px, 1.0) / thresholds.longest_prepared_spike_mm


def framing_problems(
    findings: Findings, *, thresholds: QualityThresholds
) -> Iterator[QualityProblem]:
    """Yield the problems that the findings alone tell."""
    spike = findings.spike
    if spike is None:
        yield QualityProblem.NO_SPIKE
    if findings.other_spikes > 0:
        yield QualityProblem.SEVERAL_SPIKES
    if spike is None:
        return
    if _too_small(findings, spike, thresholds):
        yield QualityProblem.TOO_SMALL
    if spike.cut_off:
        yield QualityProblem.CUT_OFF
    if spike.hidden_share > thresholds.largest_hidden_share:
        yield QualityProblem.OCCLUDED
    if unclipped_share(findings) > thresholds.largest_unclipped_share:
        yield QualityProblem.NOT_PREPARED


def unclipped_share(findings: Findings) -> float:
    """Return the share of florets whose top is not cut; 0 when no floret was recognised."""
    if not findings.florets:
        return 0.0
    return sum(not floret.clipped for floret in findings.florets) / len(findings.florets)


def framing_measures(findings: Findings) -> dict[str, float]:
    """Return the numbers behind :func:`framing_problems`."""
    measures = {"other_spikes_count": float(findings.other_spikes)}
    if findings.spike is not None:
        measures["spike_length_px"] = findings.spike.length_px
        measures["hidden_share"] = findings.spike.hidden_share
    if findings.scale is not None:
        measures["scale_px_per_mm"] = findings.scale.px_per_mm
        measures["scale_low_px_per_mm"] = findings.scale.low
    if findings.florets:
        measures["unclipped_share"] = unclipped_share(findings)
    return measures


def _too_small(findings: Findings, spike: Spike, thresholds: QualityThresholds) -> bool:
    """Too small by the best value, or possibly far too small by the lower bound."""
    scale = findings.scale
    if scale is None:
        least = reckoned_px_per_mm(findings, spike, thresholds=thresholds)
        return least < thresholds.least_px_per_mm
    return (
        scale.px_per_mm < thresholds.least_px_per_mm or scale.low < thresholds.least_low_px_per_mm
    )
