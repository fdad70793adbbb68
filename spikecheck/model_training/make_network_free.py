"""Measures the network-free method on a set, whatever networks there are: the ablation's first row.

::

    python -m spikecheck.model_training.make_network_free SET_FOLDER --json scores.json
"""

from __future__ import annotations

import argparse
import json
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from spikecheck.errors import PhotoError, TrainingError
from spikecheck.evaluation import PhotoOutcome, evaluation_entry, summarise
from spikecheck.model_training.command import run
from spikecheck.model_training.report_file import write_report
from spikecheck.vocabulary import read_truth

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.pipeline.finders import NetworkFreeFinder
    from spikecheck.vocabulary import CheckResult


def _check(path: Path) -> CheckResult | None:
    """Return the answer for one photo; None when it cannot be read."""
    from spikecheck.pipeline.check import check_files
    from spikecheck.thresholds import load_thresholds

    try:
        return check_files([path], finder=_finder(), thresholds=load_thresholds())[0]
    except PhotoError:
        return None


@cache
def _finder() -> NetworkFreeFinder:
    import cv2

    from spikecheck.pipeline.finders import NetworkFreeFinder
    from spikecheck.thresholds import load_thresholds

    cv2.setNumThreads(1)  # every core has a process of its own already
    return NetworkFreeFinder(load_thresholds())


def measure(folder: Path, *, workers: int) -> list[PhotoOutcome]:
    """Return what the method answers on every photo with truth, by name.

    Raises
    ------
    TrainingError
        If a photo cannot be read or none has truth beside it.
    """
    from spikecheck.evaluation.folder import photo_paths
    from spikecheck.pipeline.batch_pool import run_pool

    paths = [path for path in photo_paths(folder) if path.with_suffix(".json").is_file()]
    if not paths:
        raise TrainingError("no photo here has truth beside it", where=str(folder))
    outcomes = []
    for path, result in run_pool(_check, paths, workers=workers):
        if result is None:
            raise TrainingError("cannot be read", where=str(path))
        outcomes.append(PhotoOutcome(path.name, read_truth(path.with_suffix(".json")), result))
    return sorted(outcomes, key=lambda outcome: outcome.file)


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure and write the scores."""
    from spikecheck.pipeline.batch_pool import core_count

    parser = argparse.ArgumentParser(prog="python -m spikecheck.model_training.make_network_free")
    parser.add_argument("set_folder", type=Path)
    parser.add_argument("--json", type=Path, required=True)
    parser.add_argument("--workers", type=int, default=core_count())
    options = parser.parse_args(arguments)
    entry = evaluation_entry(summarise(measure(options.set_folder, workers=options.workers)))
    write_report(json.dumps(entry, indent=1, allow_nan=False) + "\n", options.json)


if __name__ == "__main__":
    run(main)
