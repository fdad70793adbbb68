"""The check result as the JSON contract ``spikecheck.result/1`` wants it.

Only here do rows and columns become x (right) and y (down). Every number is rounded to what it can
mean and is finite, so that the entry is plain JSON.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from spikecheck.vocabulary import SCHEMA

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from spikecheck.vocabulary import (
        Anther,
        Box,
        Calibration,
        CheckedTag,
        CheckResult,
        JudgedFloret,
        PhotoResult,
        Reason,
        Risk,
        SeenTag,
        Spike,
    )

_PX_DIGITS = 1
_SHARE_DIGITS = 4
_MM_DIGITS = 2
_MS_DIGITS = 1
_GAIN_DIGITS = 4
_MEASURE_DIGITS = 4


def result_entry(result: CheckResult) -> dict[str, Any]:
    """Return ``result`` as the object of the result contract.

    Parameters
    ----------
    result
        The outcome of one check.

    Returns
    -------
    dict
        Plain JSON values, valid under :func:`~spikecheck.pipeline.result_schema`.
    """
    return {
        "schema": SCHEMA,
        "verdict": result.verdict.value,
        "reasons": [_reason(reason) for reason in result.reasons],
        "risk": _risk(result.risk),
        "tag": None if result.tag is None else _tag(result.tag),
        "photos": [_photo(photo) for photo in result.photos],
        "timing_ms": {name: _number(ms, _MS_DIGITS) for name, ms in result.timing_ms.items()},
        "software": {"version": result.software_version},
    }


def _reason(reason: Reason) -> dict[str, Any]:
    place = reason.place
    return {
        "code": str(reason.code),
        "message": reason.message,
        "photo": reason.photo,
        "floret": reason.floret,
        "place": None if place is None else [_px(place.column), _px(place.row)],
    }


def _risk(risk: Risk) -> dict[str, Any]:
    return {
        "p_leftover": _number(risk.p_leftover, _SHARE_DIGITS),
        "expected_selfed_share": _number(risk.expected_selfed_share, _SHARE_DIGITS),
        "calibrated": risk.calibrated,
    }


def _photo(photo: PhotoResult) -> dict[str, Any]:
    findings, scale = photo.findings, photo.findings.scale
    measures = photo.quality.measures
    return {
        "file": photo.file,
        "sha256": photo.sha256,
        "width": photo.width,
        "height": photo.height,
        "taken_at": None if photo.taken_at is None else photo.taken_at.isoformat(),
        "px_per_mm": None if scale is None else _number(scale.px_per_mm, _MM_DIGITS),
        "px_per_mm_bounds": (
            None
            if scale is None
            else [_number(scale.low, _MM_DIGITS), _number(scale.high, _MM_DIGITS)]
        ),
        "scale_source": None if scale is None else scale.source.value,
        "quality": {
            "usable": photo.quality.usable,
            "problems": [problem.value for problem in photo.quality.problems],
            "measures": {name: _number(value, _MEASURE_DIGITS) for name, value in measures.items()},
        },
        "spike": None if findings.spike is None else _spike(findings.spike),
        "tags": [_seen_tag(tag) for tag in photo.tags],
        "unfamiliar": findings.unfamiliar,
        "unexplained_share": _number(findings.unexplained, _SHARE_DIGITS),
        "florets": [_floret(floret) for floret in photo.florets],
        "anthers": [_anther(anther) for anther in findings.anthers],
        "model": {
            "name": findings.model.name,
            "version": findings.model.version,
            "sha256": findings.model.sha256,
        },
        "calibration": (
            None if findings.calibration is None else _calibration(findings.calibration)
        ),
    }


def _tag(tag: CheckedTag) -> dict[str, Any]:
    return {"code": tag.code, "cross": tag.cross, "spike": tag.spike}


def _seen_tag(tag: SeenTag) -> dict[str, Any]:
    gains = None if tag.correction is None else tag.correction.gains
    return {
        "code": tag.code,
        "outline": _xy_list(tag.outline),
        "colour_gains": None if gains is None else [_number(gain, _GAIN_DIGITS) for gain in gains],
    }


def _calibration(calibration: Calibration) -> dict[str, Any]:
    return {
        "name": calibration.name,
        "spikes": calibration.spikes,
        "passed": calibration.passed,
        "alpha": calibration.alpha,
        "bound": calibration.bound,
        "pass_score_most": calibration.pass_score_most,
        "sha256": calibration.sha256,
    }


def _spike(spike: Spike) -> dict[str, Any]:
    return {"outline": _xy_list(spike.outline), "axis": _xy_list(spike.axis)}


def _floret(judged: JudgedFloret) -> dict[str, Any]:
    floret = judged.floret
    return {
        "id": floret.id,
        "x": _px(floret.centre.column),
        "y": _px(floret.centre.row),
        "box": _box(floret.box),
        "side": floret.side.value,
        "position": _number(floret.position, _SHARE_DIGITS),
        "clipped": bool(floret.clipped),
        "cavity_seen": _number(floret.cavity_seen, _SHARE_DIGITS),
        "status": judged.status.value,
        "p_leftover": _number(judged.p_leftover, _SHARE_DIGITS),
    }


def _anther(anther: Anther) -> dict[str, Any]:
    return {
        "floret": anther.floret,
        "x": _px(anther.centre.column),
        "y": _px(anther.centre.row),
        "box": _box(anther.box),
        "length_mm": _number(anther.length_mm, _MM_DIGITS),
        "stage": anther.stage.value,
        "near_anthesis": bool(anther.near_anthesis),
        "broken": bool(anther.broken),
        "score": _number(anther.score, _SHARE_DIGITS),
    }


def _box(box: Box) -> list[float | None]:
    return [_px(edge) for edge in (box.left, box.top, box.right, box.bottom)]


def _xy_list(points: NDArray[np.float64]) -> list[list[float | None]]:
    return [[_px(column), _px(row)] for row, column in points]


def _px(value: float) -> float | None:
    return _number(value, _PX_DIGITS)


def _number(value: float | None, digits: int) -> float | None:
    """Round; a measure that is not finite is told as unknown, since JSON has no word for it."""
    if value is None or not math.isfinite(value):
        return None
    return round(float(value), digits)
