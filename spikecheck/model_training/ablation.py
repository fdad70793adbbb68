"""What each step buys: ways to find anthers side by side, on the same images.

::

    python -m spikecheck.model_training.ablation "no network=rules.json" "path-traced=traced.json"

Each file is an evaluation of the same images (``spikecheck evaluate --json``).
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from spikecheck.errors import TrainingError
from spikecheck.model_training.command import run
from spikecheck.model_training.evaluation_files import read_evaluation
from spikecheck.model_training.goals import GOALS
from spikecheck.model_training.markdown import table
from spikecheck.model_training.report_file import write_report

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from spikecheck.model_training.evaluation_files import Scores


def ablation_table(ways: Mapping[str, Scores]) -> str:
    """Return the table as Markdown: a line for each goal, a column for each way.

    Parameters
    ----------
    ways
        Scores by the name of the way, in the order of the columns.

    Raises
    ------
    TrainingError
        If the ways were not measured on equally many photos.
    """
    if len({scores.photos for scores in ways.values()}) > 1:
        counts = ", ".join(f"{name}: {scores.photos}" for name, scores in ways.items())
        raise TrainingError(
            f"measured on different photos ({counts})", cure="Evaluate all on the same images"
        )
    values = [scores.values() for scores in ways.values()]
    lines = [
        (f"{goal.words} ({'≥' if goal.least else '≤'} {goal.told(goal.limit)})",
         *(goal.told(each.get(goal.score)) for each in values))
        for goal in GOALS
    ]  # fmt: skip
    return table(("what (target)", *ways), lines)


def main(arguments: Sequence[str] | None = None) -> None:
    """Write the table of the ways that were named."""
    parser = argparse.ArgumentParser(prog="python -m spikecheck.model_training.ablation")
    parser.add_argument("ways", nargs="+", metavar="NAME=FILE")
    parser.add_argument("--title", default="What each step buys")
    parser.add_argument("--note", default="", help="a sentence over the table")
    parser.add_argument("--out", type=Path, help="write to this file instead of the terminal")
    options = parser.parse_args(arguments)
    ways = {}
    for each in options.ways:
        name, _, file = each.rpartition("=")
        ways[name] = read_evaluation(Path(file)).whole
    note = f"{options.note}\n\n" if options.note else ""
    write_report(f"## {options.title}\n\n{note}{ablation_table(ways)}\n", options.out)


if __name__ == "__main__":
    run(main)
