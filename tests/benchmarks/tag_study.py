"""How often tags are read, and how right their scale is, by what was done to them.

Run it with ``python -m tests.benchmarks.tag_study`` from the top of the repository. Photos are made
up as :mod:`tests.tag_reading.scenes` tells, 1280 x 960 px at 8 px/mm (6.4 px a module), any turn,
tilts up to 40 degrees, unless the line says otherwise.
"""

from __future__ import annotations

import argparse
import time
from typing import Any

import cv2
import numpy as np

from spikecheck.tag_reading import read_tags
from spikecheck.thresholds import load_thresholds
from tests.benchmarks.report import add_json_option, keep, show
from tests.tag_reading.scenes import DEMO, photo_of_tag, scene_of

KINDS: dict[str, dict[str, Any]] = {
    "as it should be": {},
    "tilted 40 degrees": {"tilt_deg": 40.0},
    "tilted 40, wide lens": {"tilt_deg": 40.0, "focal_share": 0.5, "px_per_mm": 5.0},
    "20 px/mm": {"px_per_mm": 20.0, "rows": 3200, "columns": 2400},
    "before a demo photo": {"demo": "clean_00540.jpg"},
    "blur 0.1 mm": {"blur_mm": 0.1},
    "blur 0.2 mm": {"blur_mm": 0.2},
    "blur 0.3 mm": {"blur_mm": 0.3},
    "noise 10 codes": {"noise": 10.0},
    "noise 25 codes": {"noise": 25.0},
    "warm light": {"cast": (1.25, 1.0, 0.65)},
    "light 3:1 along the tag": {"uneven": 3.0},
    "6 spots of dirt": {"dirt": 6},
    "12 spots of dirt": {"dirt": 12},
    "1 crease": {"creases": 1},
    "2 creases": {"creases": 2},
    "35 % covered from the right": {"covered_share": 0.35},
    "60 % covered from the right": {"covered_share": 0.6},
    "2 % of the symbol covered": {"symbol_covered_share": 0.02},
    "5 % of the symbol covered": {"symbol_covered_share": 0.05},
    "10 % of the symbol covered": {"symbol_covered_share": 0.10},
    "15 % of the symbol covered": {"symbol_covered_share": 0.15},
    "4 px/mm (3.2 px a module)": {"px_per_mm": 4.0},
    "3 px/mm (2.4 px a module)": {"px_per_mm": 3.0},
    "2.5 px/mm (2.0 px a module)": {"px_per_mm": 2.5},
    "2 px/mm (1.6 px a module)": {"px_per_mm": 2.0},
    "dirt 4, crease, warm, uneven, noise 5": {
        "dirt": 4, "creases": 1, "cast": (1.2, 1.0, 0.7), "uneven": 2.0, "noise": 5.0,
    },
}  # fmt: skip
_FIRST_SEED = 1000  # thresholds were judged below
ERROR_MOST = 0.02  # what a scale that is told is to be right to


def measure(kind: dict[str, Any], seeds: int) -> dict[str, Any]:
    """Return counts and scale errors over ``seeds`` photos of one kind."""
    limits = load_thresholds().tags
    counts = dict.fromkeys(("read", "wrong", "scale", "within", "beyond", "colour"), 0)
    errors: list[float] = []
    for seed in range(_FIRST_SEED, _FIRST_SEED + seeds):
        photo, truth = photo_of_tag(scene_of(seed, **kind))
        tags = read_tags(photo, thresholds=limits)
        counts["wrong"] += sum(tag.code != truth.code for tag in tags)
        own = [tag for tag in tags if tag.code == truth.code]
        counts["read"] += len(own)
        for tag in own:
            counts["colour"] += tag.correction is not None
            if tag.scale is not None:
                counts["scale"] += 1
                counts["within"] += tag.scale.low <= truth.px_per_mm <= tag.scale.high
                errors.append(abs(tag.scale.px_per_mm / truth.px_per_mm - 1))
                counts["beyond"] += errors[-1] > ERROR_MOST
    spread = [float(np.quantile(errors, share)) for share in (0.5, 0.95, 1)] if errors else []
    return {**counts, "seeds": seeds, "scale_errors": spread}


def time_without_tag(repeats: int) -> list[float]:
    """Return the ms that a 12-megapixel photo without a tag takes, run by run."""
    limits = load_thresholds().tags
    read = cv2.imread(str(DEMO / "clean_00540.jpg"))
    pixels = cv2.cvtColor(cv2.resize(read, (3000, 4000)), cv2.COLOR_BGR2RGB)
    spent = []
    for _ in range(repeats):
        started = time.perf_counter()
        read_tags(pixels, thresholds=limits)
        spent.append((time.perf_counter() - started) * 1000)
    return spent


def main(arguments: list[str] | None = None) -> None:
    parser = argparse.ArgumentParser(prog="tag_study", description=__doc__)
    parser.add_argument("--seeds", type=int, default=50, help="photos of each kind")
    add_json_option(parser)
    options = parser.parse_args(arguments)
    figures: dict[str, Any] = {}
    read, scales = [], []
    for name, kind in KINDS.items():
        one = figures[name] = measure(kind, options.seeds)
        errors = [f"{100 * error:.2f} %" for error in one["scale_errors"]] or ["", "", ""]
        told = [str(one[count]) for count in ("read", "scale", "colour", "wrong")]
        read.append([name, *told])
        scales.append([name, *errors, f"{one['within']}/{one['scale']}"])
    show(
        f"Tags in {options.seeds} made-up photos of each kind",
        ["", "read", "scale", "colour", "wrong"],
        read,
    )
    show("Error of the scale", ["", "median", "95 %", "most", "in bounds"], scales)
    read_all, told_all, beyond = (
        sum(figures[name][count] for name in KINDS) for count in ("read", "scale", "beyond")
    )
    show(
        "All together",
        ["", "tags"],
        [
            ["read", str(read_all)],
            ["read without a scale", str(read_all - told_all)],
            ["scale off by more than 2 %", str(beyond)],
        ],
    )
    spent = time_without_tag(9)
    figures["without_tag_ms"] = spent
    show(
        "A 12-megapixel photo without a tag",
        ["", "ms"],
        [["first", f"{spent[0]:.0f}"], ["median of the others", f"{np.median(spent[1:]):.0f}"]],
    )
    keep(figures, options.json)


if __name__ == "__main__":
    main()
