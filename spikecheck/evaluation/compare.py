"""Sets the answer for one photo against its truth."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.evaluation.matching import MatchRule, match
from spikecheck.evaluation.records import AntherCount, CavityCount, Comparison, FloretCount
from spikecheck.vocabulary import AntherStage, FloretStatus, QualityProblem

if TYPE_CHECKING:
    from spikecheck.vocabulary import (
        Anther,
        CheckResult,
        Findings,
        PhotoResult,
        PhotoTruth,
        TrueAnther,
        TrueFloret,
    )

CAVITY_VISIBLE_LEAST = 0.5  # of an opening; from here on a floret is one that can be looked into


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
    marks = findings.marks
    tolerance_px = rule.anther_px(truth, photo)
    anther_pairs = dict(match(truth.anthers, marks, tolerance_px=tolerance_px))
    every = findings.anthers
    every_pair = dict(match(truth.anthers, every, tolerance_px=tolerance_px))
    paired = set(every_pair.values())
    florets = truth.florets or ()
    floret_pairs = match(florets, findings.florets, tolerance_px=rule.floret_px(truth, photo))
    true_ids = {findings.florets[found].id: florets[there].id for there, found in floret_pairs}
    suspected = _suspected(photo, marks)
    suspected_truly = {true_ids[told] for told in suspected if told in true_ids}
    matched = set(anther_pairs.values())
    hiding = set(truth.problems or ()) - {QualityProblem.NOT_PREPARED}
    marked = truth.florets is not None
    return Comparison(
        file=photo.file,
        true_verdict=truth.verdict,
        verdict=result.verdict,
        has_leftover=bool(truth.anthers),
        judgeable=not hiding,
        anthers=tuple(
            _anther_count(
                anther,
                marks[anther_pairs[index]] if index in anther_pairs else None,
                every[every_pair[index]].score if index in every_pair else None,
                true_ids=true_ids if marked else None,
                suspected=suspected_truly,
            )
            for index, anther in enumerate(truth.anthers)
        ),
        reported=(
            tuple((anther.stage, index in matched) for index, anther in enumerate(marks))
            if truth.complete
            else None
        ),
        false_scores=(
            tuple(mark.score for index, mark in enumerate(every) if index not in paired)
            if truth.complete
            else None
        ),
        false_florets=(
            len(suspected) - len(suspected_truly & {anther.floret for anther in truth.anthers})
            if truth.complete and marked
            else None
        ),
        florets=_floret_count(florets, findings, floret_pairs) if marked else None,
        cavities=_cavity_count(florets, findings, floret_pairs) if marked else None,
        true_problems=None if truth.problems is None else frozenset(truth.problems),
        problems=frozenset(photo.quality.problems),
        scale_error=_scale_error(truth, findings),
        scale_held=_scale_held(truth, findings),
        unfamiliar=findings.unfamiliar,
        families=dict(truth.families or {}),
    )


def _suspected(photo: PhotoResult, marks: tuple[Anther, ...]) -> set[str]:
    """Return the ids of florets told to hold an anther by their own probability, without a mark."""
    with_mark = {anther.floret for anther in marks}
    return {
        judged.floret.id
        for judged in photo.florets
        if judged.status is FloretStatus.ANTHER
        and judged.floret.p_anther is not None
        and judged.floret.id not in with_mark
    }


def _anther_count(
    there: TrueAnther,
    found: Anther | None,
    found_score: float | None,
    *,
    true_ids: dict[str, str] | None,
    suspected: set[str],
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
        found_score=found_score,
        told=found is not None or there.floret in suspected,
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


def _cavity_count(
    there: tuple[TrueFloret, ...], findings: Findings, pairs: tuple[tuple[int, int], ...]
) -> CavityCount:
    visible = {
        index
        for index, floret in enumerate(there)
        if floret.clipped and floret.cavity_visible >= CAVITY_VISIBLE_LEAST
    }
    paired = {found for _, found in pairs}
    return CavityCount(
        there=len(visible),
        matched=sum(true in visible for true, _ in pairs),
        imagined=sum(
            floret.clipped and floret.cavity_seen >= CAVITY_VISIBLE_LEAST and index not in paired
            for index, floret in enumerate(findings.florets)
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
