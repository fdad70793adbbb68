"""Keeps what the pipeline saw of one photo, every digit of it, so that it looks once only."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import numpy as np

from spikecheck.vocabulary import (
    Anther,
    AntherStage,
    Box,
    Findings,
    Floret,
    ModelIdentity,
    PhotoQuality,
    Point,
    QualityProblem,
    Scale,
    ScaleSource,
    Side,
    Spike,
)

if TYPE_CHECKING:
    from collections.abc import Mapping


def case_text(findings: Findings, quality: PhotoQuality) -> str:
    """Return findings and quality as one line of JSON; a calibration is not kept."""
    entry = {
        "model": asdict(findings.model),
        "spike": None if findings.spike is None else _spike_entry(findings.spike),
        "other_spikes": findings.other_spikes,
        "scale": None if findings.scale is None else asdict(findings.scale),
        "florets": [asdict(floret) for floret in findings.florets],
        "anthers": [asdict(anther) for anther in findings.anthers],
        "unexplained": findings.unexplained,
        "unfamiliar": findings.unfamiliar,
        "clear": findings.clear,
        "usable": quality.usable,
        "problems": quality.problems,
        "measures": dict(quality.measures),
    }
    return json.dumps(entry) + "\n"


def read_case(text: str) -> tuple[Findings, PhotoQuality]:
    """Return what :func:`case_text` kept.

    Raises
    ------
    ValueError, KeyError, TypeError
        If the text is not of this kind: it is then to be looked at again.
    """
    entry = json.loads(text)
    scale = entry["scale"]
    findings = Findings(
        model=ModelIdentity(**entry["model"]),
        spike=None if entry["spike"] is None else _spike(entry["spike"]),
        other_spikes=entry["other_spikes"],
        scale=None if scale is None else Scale(**{**scale, "source": ScaleSource(scale["source"])}),
        florets=tuple(
            Floret(**{**_placed(floret), "side": Side(floret["side"])})
            for floret in entry["florets"]
        ),
        anthers=tuple(
            Anther(**{**_placed(anther), "stage": AntherStage(anther["stage"])})
            for anther in entry["anthers"]
        ),
        unexplained=entry["unexplained"],
        unfamiliar=entry["unfamiliar"],
        clear=entry["clear"],
    )
    problems = tuple(QualityProblem(code) for code in entry["problems"])
    return findings, PhotoQuality(entry["usable"], problems, entry["measures"])


def _spike_entry(spike: Spike) -> dict[str, Any]:
    return {
        "outline": spike.outline.tolist(),
        "axis": spike.axis.tolist(),
        "cut_off": spike.cut_off,
        "hidden_share": spike.hidden_share,
    }


def _spike(entry: Mapping[str, Any]) -> Spike:
    return Spike(
        np.array(entry["outline"], dtype=np.float64),
        np.array(entry["axis"], dtype=np.float64),
        cut_off=entry["cut_off"],
        hidden_share=entry["hidden_share"],
    )


def _placed(entry: Mapping[str, Any]) -> dict[str, Any]:
    return {**entry, "centre": Point(**entry["centre"]), "box": Box(**entry["box"])}
