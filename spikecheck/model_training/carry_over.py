"""How much is lost on families of images that a network never saw.

::

    python -m spikecheck.model_training.carry_over light:sun=no_sun.json camera:noisy=no_noise.json

Each file is the evaluation (``spikecheck evaluate --json``) of a network that was fitted without
any image of the family named before it; the images that are evaluated show every family. The table
sets the family it never saw beside the other families of the same kind. A family can be harder than
others even when it was seen: ``--beside all.json`` adds what a network that saw every family, and
was fitted on as many plants, does on it.
"""

from __future__ import annotations

import argparse
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from spikecheck.errors import TrainingError
from spikecheck.evaluation.records import Proportion
from spikecheck.model_training.command import run
from spikecheck.model_training.evaluation_files import pooled, read_evaluation
from spikecheck.model_training.goals import GOALS
from spikecheck.model_training.markdown import counted, percent, plain, table
from spikecheck.model_training.report_file import write_report

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.model_training.evaluation_files import EvaluationFile, Scores

_PASSES = ("verdict", "good photos: spikes with 0.25 mm² or more of an anther in sight that pass")
_CLEAN = ("verdict", "clean spikes that pass")
_FOUND = ("anthers", "good photos: recall, 0.25 mm² or more visible")
_FALSE = ("anthers", "good photos: false marks per photo")
# tells sight apart from where the pass limit happens to lie
_FOUND_AT_FEW = ("anthers", "good photos: recall at 0.05 false a photo, 0.25 mm² or more visible")
_FLORETS = ("florets", "good photos: can be looked into, F1")
_SAFE = next(goal.limit for goal in GOALS if goal.score == _PASSES)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """One family that was left out.

    Parameters
    ----------
    kind, family
        Such as ``"light"`` and ``"sun"``.
    seen, unseen
        Scores on the other families of the kind, and on this one.
    beside
        Scores on this one of a network that saw it, or None.
    """

    kind: str
    family: str
    seen: Scores
    unseen: Scores
    beside: Scores | None = None

    @property
    def at_most_doubles(self) -> bool:
        """Whether the share of leftover spikes that pass at most doubles.

        Of few spikes none can be told from few: the answer is no only where more pass than twice
        what is seen, or twice the target where that is more.
        """
        unseen, seen = self.unseen.rows.get(_PASSES), self.seen.rows.get(_PASSES)
        if unseen is None or seen is None or unseen[0] is None or seen[0] is None:
            return False
        return unseen[0] <= 2 * max(seen[0], _SAFE)


def left_out(name: str, file: Path, beside: EvaluationFile | None = None) -> LeftOut:
    """Read the evaluation of a network that never saw the family ``kind:family``.

    Parameters
    ----------
    name
        ``kind:family``.
    file
        The evaluation.
    beside
        Evaluation of a network that saw it.

    Raises
    ------
    TrainingError
        If the file is no evaluation or does not show the family and others of its kind.
    """
    kind, _, family = name.partition(":")
    families = dict(read_evaluation(file).families.get(kind, {}))
    unseen = families.pop(family, None)
    if unseen is None or not families:
        raise TrainingError(
            f"does not show {kind} {family} beside others of its kind",
            where=str(file),
            cure="Name the family as KIND:FAMILY=FILE, such as light:sun=scores.json",
        )
    known = None if beside is None else beside.families.get(kind, {}).get(family)
    return LeftOut(kind, family, pooled(families.values()), unseen, known)


def carry_over_table(parts: Sequence[LeftOut]) -> str:
    """Return the table as Markdown: for each family left out, seen and unseen."""
    headings = (
        "left out", "images", "photos", "visible leftovers that pass", "(95 %)", "clean that pass",
        "visible found", "false marks a photo", "found at 0.05 false", "florets F1",
        "passes at most doubled",
    )  # fmt: skip
    lines = []
    for part in parts:
        name = f"{part.kind}: {part.family}"
        lines.append((name, "seen families", *_cells(part.seen), ""))
        answer = "yes" if part.at_most_doubles else "**no**"
        lines.append((name, "this family, never seen", *_cells(part.unseen), answer))
        if part.beside is not None:
            lines.append((name, "this family, by a network that saw it", *_cells(part.beside), ""))
    return table(headings, lines)


def _cells(scores: Scores) -> tuple[str, ...]:
    values = scores.values()
    _, events, trials = scores.rows.get(_PASSES, (None, None, None))
    interval = Proportion(events or 0, trials or 0).exact
    told = "" if interval is None else f"{100 * interval[0]:.1f} to {100 * interval[1]:.1f} %"
    return (
        str(scores.photos), counted(events, trials), told, percent(values.get(_CLEAN)),
        percent(values.get(_FOUND)), plain(values.get(_FALSE)),
        percent(values.get(_FOUND_AT_FEW)), plain(values.get(_FLORETS)),
    )  # fmt: skip


def main(arguments: Sequence[str] | None = None) -> None:
    """Write the table of the families that were named."""
    parser = argparse.ArgumentParser(prog="python -m spikecheck.model_training.carry_over")
    parser.add_argument("families", nargs="+", metavar="KIND:FAMILY=FILE")
    parser.add_argument(
        "--beside", type=Path, metavar="FILE", help="of a network that saw every family"
    )
    parser.add_argument("--note", default="", help="a sentence over the table")
    parser.add_argument("--out", type=Path, help="write to this file instead of the terminal")
    options = parser.parse_args(arguments)
    beside = None if options.beside is None else read_evaluation(options.beside)
    parts = []
    for each in options.families:
        name, _, file = each.partition("=")
        parts.append(left_out(name, Path(file), beside))
    note = f"{options.note}\n\n" if options.note else ""
    write_report(f"## Families never seen\n\n{note}{carry_over_table(parts)}\n", options.out)


if __name__ == "__main__":
    run(main)
