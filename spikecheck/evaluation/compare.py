"""Sets the answer for one photo against its truth."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.evaluation.matching import MatchRule, match
from spikecheck.evaluation.records import AntherCount, Comparison, FloretCount
from spikecheck.vocabulary import AntherStage, QualityProblem

if TYPE_CHECKING:
    from spikecheck.vocabulary import (
        Anther,
        CheckResult,
        Findings,
        PhotoTruth,
        TrueAnther,
        TrueFloret,
    )


def compare(truth: PhotoTruth, result: CheckResult, *, rule: MatchRule | None = None) -> Comparison:
    """Set one answer against the truth.

    Parameters
    ----------
    truth
        What is there.
    result
        The answer for this one photo.
    rule
        How far apart a pair may be; as documented when left out.

    Returns
    -------
    Comparison
        Only with what the truth records.
    """
    rule = rule or MatchRule()
    photo = result.photos[0]
    findings = photo.findings
    anther_pairs = dict(
        match(truth.anthers, findings.anthers, tolerance_px=rule.anther_px(truth, photo))
    )
    floret_pairs = match(
        truth.florets or (), findings.florets, tolerance_px=rule.floret_px(truth, photo)
    )
    true_ids = {
        findings.florets[found].id: (truth.florets or ())[there].id for there, found in floret_pairs
    }
    matched = set(anther_pairs.values())
    hiding = set(truth.problems or ()) - {QualityProblem.NOT_PREPARED}
    return Comparison(
        file=photo.file,
        true_verdict=truth.verdict,
        verdict=result.verdict,
        has_leftover=bool(truth.anthers),
        judgeable=not hiding,
        anthers=tuple(
            _anther_count(
                anther,
                findings.anthers[anther_pairs[index]] if index in anther_pairs else None,
                true_ids=None if truth.florets is None else true_ids,
            )
            for index, anther in enumerate(truth.anthers)
        ),
        reported=(
            tuple((anther.stage, index in matched) for index, anther in enumerate(findings.anthers))
            if truth.complete
            else None
        ),
        florets=(
            None if truth.florets is None else _floret_count(truth.florets, findings, floret_pairs)
        ),
        true_problems=None if truth.problems is None else frozenset(truth.problems),
        problems=frozenset(photo.quality.problems),
        scale_error=_scale_error(truth, findings),
        scale_held=_scale_held(truth, findings),
    )


def _anther_count(
    there: TrueAnther, found: Anther | None, *, true_ids: dict[str, str] | None
) -> AntherCount:
    right_floret = None
    if found is not None and true_ids is not None:
        told = None if found.floret is None else true_ids.get(found.floret, "no such floret")
        right_floret = told == there.floret
    return AntherCount(
        stage=there.stage,
        ripe=_true_ripeness(there),
        visible_area_mm2=there.visible_area_mm2,
        found=found is not None,
        found_stage=None if found is None else found.stage,
        found_ripe=found is not None
        and (found.near_anthesis or found.stage is not AntherStage.GREEN),
        right_floret=right_floret,
    )


def _true_ripeness(anther: TrueAnther) -> bool | None:
    if anther.near_anthesis is not None:
        return anther.near_anthesis
    return None if anther.stage is None else anther.stage is not AntherStage.GREEN


def _floret_count(
    there: tuple[TrueFloret, ...], findings: Findings, pairs: tuple[tuple[int, int], ...]
) -> FloretCount:
    return FloretCount(
        there=len(there),
        found=len(findings.florets),
        matched=len(pairs),
        clipped_right=sum(
            there[true].clipped == findings.florets[found].clipped for true, found in pairs
        ),
    )


def _scale_error(truth: PhotoTruth, findings: Findings) -> float | None:
    if truth.px_per_mm is None or findings.scale is None:
        return None
    return findings.scale.px_per_mm / truth.px_per_mm - 1


def _scale_held(truth: PhotoTruth, findings: Findings) -> bool | None:
    if truth.px_per_mm is None or findings.scale is None:
        return None
    return findings.scale.low <= truth.px_per_mm <= findings.scale.high
