"""Writes the manifest beside a network, ``model.toml`` (read by ``networks.manifest``)."""

from __future__ import annotations

import hashlib
import json
import math
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from spikecheck.imaging.strip import STRIP_PX_PER_MM
from spikecheck.networks.preprocess import OVERVIEW_SIDE_PX, STRIP_MULTIPLE_PX
from spikecheck.networks.tuned import FloretsTuned, OverviewTuned

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

_INPUTS: dict[str, dict[str, Any]] = {
    "florets": {
        "values": "RGB, 0 to 1", "px_per_mm": STRIP_PX_PER_MM, "multiple_of_px": STRIP_MULTIPLE_PX,
        "shows": "the spike straightened, tip up",
    },
    "overview": {
        "values": "RGB, 0 to 1", "side_px": OVERVIEW_SIDE_PX,
        "shows": "the whole photo, longer side 512 px, top-left on grey",
    },
}  # fmt: skip
_EVEN = 0.5  # before anything is tuned: more likely than not
_NORMAL_95 = 1.96


def first_tuned(task: str, figures: Mapping[str, float]) -> dict[str, float]:
    """Return a network's limits before they are tuned on images of their own.

    Heat limits and strangeness come from what the run measured; all others say "more likely than
    not".

    Parameters
    ----------
    task
        ``"florets"`` or ``"overview"``.
    figures
        Figures of the run.
    """
    strange = max(figures["strangeness_999"], figures.get("strangeness_held_out_999", 0.0))
    if task == "overview":
        return asdict(OverviewTuned(
            spike_least=_EVEN, other_least=_EVEN, spike_close_least=_EVEN, several_least=_EVEN,
            cut_off_least=_EVEN, occluded_least=_EVEN, not_prepared_least=_EVEN,
            blurred_least=_EVEN,
            scale_widening=_NORMAL_95, strangeness_most=strange,
        ))  # fmt: skip
    return asdict(FloretsTuned(
        floret_least=figures.get("floret_score", _EVEN),
        anther_least=figures.get("anther_score", _EVEN), anther_pixel_least=_EVEN,
        clipped_least=_EVEN, clipped_least_if_unprepared=_EVEN, near_anthesis_least=_EVEN,
        broken_least=_EVEN, strangeness_most=strange,
    ))  # fmt: skip


def write_manifest(
    network: Path,
    *,
    outputs: tuple[str, ...],
    recipe: Mapping[str, Any],
    fitted: Mapping[str, Any],
) -> None:
    """Write ``model.toml`` beside a network.

    Parameters
    ----------
    network
        The ``model.onnx``, in a folder named after its version in one named after its task.
    outputs
        Names of what it gives.
    recipe
        What the run was made from.
    fitted
        What came out of the run: ``figures``, ``set_sha256``, ``photos``, ``step``.
    """
    version, task = network.parent.name, network.parent.parent.name
    figures = fitted["figures"]
    tables: dict[str, Mapping[str, Any]] = {
        "input": _INPUTS[task],
        "training": {
            "set_sha256": fitted["set_sha256"], "photos": fitted["photos"],
            "seed": recipe["seed"], "steps": fitted["step"], "recipe": json.dumps(recipe),
        },
        "metrics": figures,
        "tuned": first_tuned(task, figures),
    }  # fmt: skip
    lines = [
        f"task = {_value(task)}", f"version = {_value(version)}",
        f"sha256 = {_value(hashlib.sha256(network.read_bytes()).hexdigest())}",
        f"outputs = {_value(list(outputs))}",
    ]  # fmt: skip
    for name, table in tables.items():
        lines += ["", f"[{name}]", *(f"{key} = {_value(table[key])}" for key in table)]
    network.with_name("model.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")


def _value(value: object) -> str:
    if isinstance(value, float):
        return f"{value:.6g}" if math.isfinite(value) and "." in f"{value:.6g}" else _odd(value)
    return json.dumps(value, ensure_ascii=False)  # JSON of these is TOML too


def _odd(value: float) -> str:
    """Return a float that ``g`` writes as no TOML float: whole, with exponent, or no number."""
    text = f"{value:.6g}"
    return text if "e" in text or not math.isfinite(value) else f"{text}.0"
