"""Writes the cards of the networks: measured on a set that nothing was fitted or tuned on.

::

    python -m spikecheck.model_training.card SET_FOLDER models/florets/1

The set lies beside its truth as ``spikecheck evaluate`` wants it; seeds of a reporting set start at
300000. ``CARD.md`` and ``reliability.png`` are written into the folder of the florets network, a
shorter ``CARD.md`` into that of the overview network. ``--add FILE`` puts further sections into the
card, such as what ``carry_over`` and ``ablation`` write; ``--json FILE`` keeps the evaluation.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import logging
from pathlib import Path
from typing import TYPE_CHECKING

from spikecheck.evaluation import PhotoOutcome, evaluation_entry, summarise
from spikecheck.labelling.own_calibration import set_digest
from spikecheck.model_training import card_text
from spikecheck.model_training.command import run
from spikecheck.model_training.looked_at_set import look_at_set, networks_of
from spikecheck.model_training.reliability_picture import reliability_png
from spikecheck.model_training.report_file import write_report
from spikecheck.model_training.scaled_case import (
    Scalings,
    anther_outcomes,
    floret_outcomes,
    result_of,
    scaled_case,
)
from spikecheck.networks import LogitScaling, read_manifest

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.evaluation import Evaluation
    from spikecheck.model_training.looked_at_set import Case
    from spikecheck.networks import Manifest

_FLORETS_GROUPS = ("verdict", "anthers", "florets")
_OVERVIEW_GROUPS = ("photo problems", "scale")
_LOG = logging.getLogger(__name__)


def scalings_of(manifest: Manifest) -> Scalings:
    """Return the scalings that stand in the manifest of a florets network.

    Raises
    ------
    ModelError
        If one is missing.
    """
    floret, anther = (
        manifest.numbers(LogitScaling, "calibration", prefix=prefix)
        for prefix in ("floret_", "anther_")
    )
    return Scalings(floret, anther)


def florets_card(
    cases: Sequence[Case], manifest: Manifest, *, sha256: str, name: str
) -> tuple[str, bytes, Evaluation]:
    """Return the card of the florets network, its reliability diagram, and the evaluation.

    Parameters
    ----------
    cases
        The set, with raw scores.
    manifest
        Of the florets network, with scaling and pass limit.
    sha256, name
        Digest of the set, and what it shows.
    """
    scalings, limit = scalings_of(manifest), manifest.pass_limit()
    scaled = [scaled_case(case, scalings) for case in cases]
    evaluation = summarise(
        [PhotoOutcome(case.file, case.truth, result_of(case, limit)) for case in scaled]
    )
    kinds = {
        "an anther in a floret": (floret_outcomes(cases), floret_outcomes(scaled)),
        "a mark being an anther": (anther_outcomes(cases), anther_outcomes(scaled)),
    }
    picture = reliability_png(
        {name: card_text.bins_of(after) for name, (_, after) in kinds.items()}
    )
    sections = (
        card_text.head(manifest, photos=len(cases), sha256=sha256, name=name),
        card_text.goals_section(evaluation),
        card_text.calibration_section(manifest, kinds),
        card_text.family_section(evaluation),
        card_text.failure_section(evaluation),
        card_text.score_section(evaluation, _FLORETS_GROUPS),
    )
    return "\n".join(sections), picture, evaluation


def overview_card(evaluation: Evaluation, manifest: Manifest, *, sha256: str, name: str) -> str:
    """Return the card of the overview network, measured on the same photos."""
    head = card_text.head(manifest, photos=len(evaluation.outcomes), sha256=sha256, name=name)
    return head + "\n" + card_text.score_section(evaluation, _OVERVIEW_GROUPS)


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure on a set and write both cards."""
    from spikecheck.pipeline.batch_pool import core_count

    parser = argparse.ArgumentParser(prog="python -m spikecheck.model_training.card")
    parser.add_argument("set_folder", type=Path, help="photos with truth beside them")
    parser.add_argument("model_folder", type=Path, help="such as models/florets/1")
    parser.add_argument("--name", default="rendered images", help="what the set shows, for people")
    parser.add_argument("--add", type=Path, action="append", default=[], help="a further section")
    parser.add_argument("--json", type=Path, help="write the evaluation to this file")
    parser.add_argument("--workers", type=int, default=core_count())
    options = parser.parse_args(arguments)
    networks = networks_of(options.model_folder)
    cases = look_at_set(
        options.set_folder,
        networks,
        workers=options.workers,
        progress=lambda done, total: _LOG.info("%d of %d photos", done, total),
    )
    sha256 = set_digest(
        (hashlib.sha256(photo.read_bytes()).hexdigest(), photo.with_suffix(".json").read_bytes())
        for photo in (options.set_folder / case.file for case in cases)
    )
    overview, _ = networks.load()
    florets = read_manifest(options.model_folder / "model.toml")
    text, picture, evaluation = florets_card(cases, florets, sha256=sha256, name=options.name)
    added = [file.read_text(encoding="utf-8") for file in options.add]
    write_report("\n".join([text, *added]), options.model_folder / "CARD.md")
    (options.model_folder / card_text.PICTURE).write_bytes(picture)
    write_report(
        overview_card(evaluation, overview.manifest, sha256=sha256, name=options.name),
        overview.manifest.path.with_name("CARD.md"),
    )
    if options.json is not None:
        entry = evaluation_entry(evaluation)
        write_report(json.dumps(entry, indent=1, allow_nan=False) + "\n", options.json)


if __name__ == "__main__":
    run(main)
