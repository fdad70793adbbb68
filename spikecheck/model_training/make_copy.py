"""Copies a network's folder, or names a part of a photo set anew.

::

    python -m spikecheck.model_training.make_copy models/overview/1 studies/a/overview/1
    python -m spikecheck.model_training.make_copy photos/calibration photos/fewer --count 450 \
        --without light=sun

Photos are linked, not copied.
"""

from __future__ import annotations

import argparse
import os
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

from spikecheck.errors import TrainingError
from spikecheck.model_training.command import run
from spikecheck.vocabulary import read_truth

if TYPE_CHECKING:
    from collections.abc import Sequence


def part_of_set(folder: Path, part: Path, *, count: int, without: tuple[str, str] | None) -> int:
    """Link the first photos of a set that are not of a family; return how many.

    Raises
    ------
    TrainingError
        If there is none.
    """
    part.mkdir(parents=True, exist_ok=True)
    taken = 0
    for truth_file in sorted(folder.glob("*.json")):
        photo = truth_file.with_suffix(".jpg")
        if taken == count:
            break
        if not photo.is_file():
            continue  # the set's own manifest
        families = read_truth(truth_file).families or {}
        if without is not None and families.get(without[0]) == without[1]:
            continue
        for file in (photo, truth_file):
            target = part / file.name
            if not target.exists():
                target.symlink_to(os.path.relpath(file.resolve(), part.resolve()))
        taken += 1
    if not taken:
        raise TrainingError("no photo is left", where=str(folder), cure="Leave out less")
    return taken


def main(arguments: Sequence[str] | None = None) -> None:
    """Copy a network or link a part of a set."""
    parser = argparse.ArgumentParser(prog="python -m spikecheck.model_training.make_copy")
    parser.add_argument("folder", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--count", type=int, help="photos; without it a network is copied")
    parser.add_argument("--without", metavar="KIND=FAMILY")
    options = parser.parse_args(arguments)
    if options.count is None:
        shutil.copytree(options.folder, options.out, dirs_exist_ok=True)
        return
    without = None
    if options.without is not None:
        kind, _, family = options.without.partition("=")
        without = (kind, family)
    part_of_set(options.folder, options.out, count=options.count, without=without)


if __name__ == "__main__":
    run(main)
