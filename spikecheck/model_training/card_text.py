"""The words and tables of a network's card."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from spikecheck.assessment import promise
from spikecheck.evaluation import failures, family_lines, kinds_of_family, rows
from spikecheck.evaluation.reliability import (
    brier_score,
    brier_score_of_both_classes,
    expected_calibration_error,
    reliability_bins,
)
from spikecheck.model_training.goals import goal_table
from spikecheck.model_training.logit_scaling import probabilities
from spikecheck.model_training.markdown import counted, percent, plain, row_cells, table
from spikecheck.model_training.scaled_case import RAW

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from spikecheck.evaluation import Evaluation
    from spikecheck.evaluation.reliability import ReliabilityBin
    from spikecheck.model_training.scaled_case import Outcomes
    from spikecheck.networks import Manifest

WORST_LISTED = 5
PICTURE = "reliability.png"
_ROW_HEADINGS = ("what", "count", "value", "95 % interval")


def head(manifest: Manifest, *, photos: int, sha256: str, name: str) -> str:
    """Return what the network is, what it saw, and what it was measured on."""
    return f"""# The {manifest.task} network, version {manifest.version}

Part of [spikecheck](../../../README.md): it looks at photos of hand-emasculated wheat spikes before
bagging. It was fitted on rendered images alone, so every figure here is of rendered images unless a
line says otherwise; photos of another crop, view or light are to be noticed and sent to review.
This card is written by `python -m spikecheck.model_training.card`.

## What it saw

{_entries({**manifest.input, **manifest.training})}

Measured on {photos} photos ({name}) that nothing was fitted, tuned or calibrated on; digest of the
set {sha256}.
"""


def goals_section(evaluation: Evaluation) -> str:
    """Return targets beside what was measured."""
    values = {(row.group, row.name): row.value for row in rows(evaluation)}
    return f"## Targets\n\n{goal_table(values)}\n"


def calibration_section(manifest: Manifest, kinds: Mapping[str, tuple[Outcomes, Outcomes]]) -> str:
    """Return the pass limit with its promise, and how true the probabilities are.

    Parameters
    ----------
    manifest
        Of the florets network.
    kinds
        By what they are of: outcomes with raw logits, and the same with scaled ones.
    """
    limit = manifest.pass_limit()
    if limit is None:
        told = "No pass limit: the set was too small to certify one. " + promise([None])
    else:
        told = (
            f"A spike passes only if no mark and no floret scores above {limit.pass_score_most:.4g}"
            f". Of {limit.spikes} leftover spikes of the calibration set ({limit.name}, digest "
            f"{limit.sha256}) {limit.passed} pass at this limit, so the expected share is at most "
            f"({limit.passed} + 1) / ({limit.spikes} + 1) = {100 * limit.bound:.2f} % on "
            f"exchangeable photos (conformal risk control, alpha {100 * limit.alpha:g} %)."
        )
    parts = [f"## How sure it is\n\n{told}\n", f"![Reliability]({PICTURE})\n"]
    for name, (raw, scaled) in kinds.items():
        bins = bins_of(scaled)
        if not bins:
            parts.append(f"### Probability of {name}\n\nNothing to measure it on.\n")
            continue
        before, after = (probabilities(RAW, each.logits) for each in (raw, scaled))
        parts.append(
            f"### Probability of {name}\n\n"
            f"Brier score {brier_score(after, scaled.happened):.5f} (binary form, 0 to 1; "
            f"{brier_score_of_both_classes(after, scaled.happened):.5f} as Brier's own sum over "
            f"both classes; {brier_score(before, raw.happened):.5f} before scaling; "
            f"{_base_rate(scaled):.5f} for saying the base rate of every one); mean distance from "
            f"the diagonal {expected_calibration_error(bins):.4f}.\n\n{_bin_table(bins)}\n"
        )
    return "\n".join(parts)


def bins_of(outcomes: Outcomes) -> tuple[ReliabilityBin, ...]:
    """Return the bins of the reliability diagram of some logits; none without outcomes."""
    if not len(outcomes.logits):
        return ()
    return reliability_bins(probabilities(RAW, outcomes.logits), outcomes.happened)


def family_section(evaluation: Evaluation) -> str:
    """Return a table for each kind of family."""
    headings = (
        "photos", "visible leftovers that pass", "clean that pass", "visible found",
        "false marks a photo", "florets F1",
    )  # fmt: skip
    parts = ["## By family of images\n\nVisible means 0.25 mm² or more of an anther in sight.\n"]
    for kind in kinds_of_family(evaluation):
        lines = [
            (
                line.family, str(line.photos),
                counted(line.leftover_passed.events, line.leftover_passed.trials),
                percent(line.clean_passed.share), percent(line.recall.share),
                plain(line.false_marks), plain(line.cavity_f1),
            )
            for line in family_lines(evaluation, kind)
        ]  # fmt: skip
        parts.append(table((kind, *headings), lines) + "\n")
    return "\n".join(parts)


def failure_section(evaluation: Evaluation) -> str:
    """Return the worst mistakes with their files and families."""
    families = {photo.file: photo.families for photo in evaluation.comparisons}
    found = failures(evaluation)
    if not found:
        return "## Where it fails\n\nNowhere in this set.\n"
    lines = [
        (
            failure.file, failure.what,
            ", ".join(f"{kind} {own}" for kind, own in sorted(families[failure.file].items())),
        )
        for failure in found[:WORST_LISTED]
    ]  # fmt: skip
    worst = table(("photo", "what happened", "families"), lines)
    return f"## Where it fails\n\nThe {len(lines)} costliest of {len(found)} mistakes.\n\n{worst}\n"


def score_section(evaluation: Evaluation, groups: Sequence[str]) -> str:
    """Return all scores of some groups, with counts and intervals."""
    parts = ["## All scores\n"]
    for group in groups:
        lines = [row_cells(row) for row in rows(evaluation) if row.group == group]
        if lines:
            parts.append(f"### {group[:1].upper()}{group[1:]}\n\n{table(_ROW_HEADINGS, lines)}\n")
    return "\n".join(parts)


def _bin_table(bins: Sequence[ReliabilityBin]) -> str:
    lines = []
    for each in bins:
        low, high = each.happened.wilson or (0.0, 1.0)
        lines.append(
            (
                f"{each.low:g} to {each.high:g}",
                f"{each.mean:.4f}",
                f"{each.happened.share or 0.0:.4f}",
                f"{low:.4f} to {high:.4f}",
                counted(each.happened.events, each.happened.trials),
            )
        )
    return table(("said", "mean said", "happened", "95 % interval", "count"), lines)


def _base_rate(outcomes: Outcomes) -> float:
    share = float(outcomes.happened.mean())
    return share * (1 - share)


def _entries(entries: Mapping[str, Any]) -> str:
    return table(("entry", "value"), [(name, str(value)) for name, value in entries.items()])
