"""Whether the florets can be judged in a photo, and if not, why."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.photo.exposure import Exposure, photo_exposure, spike_exposure
from spikecheck.photo.focus import Focus, edge_scales, measure_focus
from spikecheck.photo.framing import framing_measures, framing_problems, reckoned_px_per_mm
from spikecheck.photo.motion import Motion, measure_motion
from spikecheck.photo.patch import cut_patch
from spikecheck.vocabulary.quality import PhotoQuality, QualityProblem

if TYPE_CHECKING:
    from spikecheck.thresholds import QualityThresholds
    from spikecheck.vocabulary.findings import Findings
    from spikecheck.vocabulary.photo import Photo
    from spikecheck.vocabulary.spike import Spike


def judge_quality(
    photo: Photo, findings: Findings, *, thresholds: QualityThresholds
) -> PhotoQuality:
    """Judge one photo, on the spike alone.

    Parameters
    ----------
    photo
        The photo.
    findings
        What was found in it.
    thresholds
        Limits.

    Returns
    -------
    PhotoQuality
        Measures of the spike are absent when there is none or they could not be taken. Without a
        spike, darkness or overexposure of the whole photo is told as its likely cause.

    Notes
    -----
    Every problem makes the photo unusable, because each hides florets or their insides: small,
    dark, burnt-out, blurred, smeared, covered or cut-off ones are not seen; a floret not clipped
    is closed over its anthers; and of several spikes it is not known which one is meant. Single
    unclipped florets, burnt-out specks or hidden corners stay below the thresholds and are left
    to the judgement of each floret. That a spike is not prepared is told of a clear photo only.
    """
    problems = set(framing_problems(findings, thresholds=thresholds))
    measures = framing_measures(findings)
    if findings.spike is None:
        exposure = photo_exposure(photo, thresholds=thresholds)
        if exposure.is_dark(thresholds):
            problems.add(QualityProblem.DARK)
        if exposure.burnt_share > thresholds.largest_burnt_share_of_photo:
            problems.add(QualityProblem.OVEREXPOSED)
        measures |= {
            "photo_median_lightness": exposure.median_lightness,
            "photo_burnt_share": exposure.burnt_share,
        }
    else:
        found, taken = _judge_spike(photo, findings, findings.spike, thresholds)
        if found:  # what looks uncut may be an opening that does not show
            problems.discard(QualityProblem.NOT_PREPARED)
        problems |= found
        measures |= taken
    return PhotoQuality(
        usable=not problems,
        problems=tuple(problem for problem in QualityProblem if problem in problems),
        measures={name: round(float(value), 4) for name, value in measures.items()},
    )


def _judge_spike(
    photo: Photo, findings: Findings, spike: Spike, thresholds: QualityThresholds
) -> tuple[set[QualityProblem], dict[str, float]]:
    px_per_mm = reckoned_px_per_mm(findings, spike, thresholds=thresholds)
    patch = cut_patch(photo, spike, px_per_mm=px_per_mm, tile_length_mm=thresholds.tile_length_mm)
    exposure = None if patch is None else spike_exposure(patch, thresholds=thresholds)
    if patch is None or exposure is None:
        return {QualityProblem.TOO_SMALL}, {}
    light = _light_problems(exposure, thresholds)
    measures = {
        "median_lightness": exposure.median_lightness,
        "burnt_share": exposure.burnt_share,
        "dark_tile_share": exposure.dark_tile_share,
        "burnt_tile_share": exposure.burnt_tile_share,
    }
    scales = edge_scales(patch)
    focus = measure_focus(patch, scales, thresholds=thresholds)
    motion = measure_motion(patch, scales, thresholds=thresholds)
    if focus is not None:
        measures |= _focus_measures(focus)
    if motion is not None:
        measures |= {"smear_mm": motion.smear_mm, "smear_ratio": motion.ratio}
    most = (
        thresholds.largest_blurred_share_if_clear
        if findings.clear
        else thresholds.largest_blurred_share
    )
    blur = _blur_problems(focus, motion, thresholds, well_lit=not light, blurred_most=most)
    return light | blur, measures


def _focus_measures(focus: Focus) -> dict[str, float]:
    measured = focus.tile_sigma_mm[np.isfinite(focus.tile_sigma_mm)]
    return {
        "blur_sigma_px": focus.sigma_px,
        "blur_sigma_mm": focus.sigma_mm,
        "worst_blur_sigma_mm": float(measured.max()),
        "blurred_share": focus.blurred_share,
        "unmeasured_share": focus.unmeasured_share,
        "mtf50_cycles_per_px": focus.mtf50_cycles_per_px,
    }


def _light_problems(exposure: Exposure, thresholds: QualityThresholds) -> set[QualityProblem]:
    problems = set()
    if exposure.is_dark(thresholds):
        problems.add(QualityProblem.DARK)
    if exposure.is_overexposed(thresholds):
        problems.add(QualityProblem.OVEREXPOSED)
    return problems


def _blur_problems(
    focus: Focus | None, motion: Motion | None, thresholds: QualityThresholds, *,
    well_lit: bool, blurred_most: float,
) -> set[QualityProblem]:  # fmt: skip
    """Tell movement from defocus: the cure differs.

    Where nothing can be measured the spike counts as out of focus, unless it is too dark or burnt
    out, which is then told instead. Movement blurs tiles too; where it explains the blur, that
    is, where edges along the movement are sharp, defocus is not told beside it.
    """
    problems = set()
    explained = False
    if (
        motion is not None
        and motion.smear_mm > thresholds.largest_smear_mm
        and motion.ratio > thresholds.least_smear_ratio
    ):
        problems.add(QualityProblem.MOTION)
        explained = motion.least_sigma_mm <= thresholds.largest_blur_mm
    blurred, unmeasured = (
        (0.0, 1.0) if focus is None else (focus.blurred_share, focus.unmeasured_share)
    )
    lost = blurred + (unmeasured if well_lit else 0.0)
    if lost > blurred_most and not explained:
        problems.add(QualityProblem.DEFOCUS)
    return problems
