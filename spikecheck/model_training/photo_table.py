"""What was said of each photo of a small set, as a section of a card.

::

    spikecheck evaluate photos --json photos.json
    python -m spikecheck.model_training.photo_table photos.json --title "Real photos"
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from spikecheck.model_training.command import run
from spikecheck.model_training.evaluation_files import read_evaluation
from spikecheck.model_training.markdown import counted, table
from spikecheck.model_training.report_file import write_report

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.model_training.evaluation_files import PhotoEntry


def photo_table(photos: Sequence[PhotoEntry]) -> str:
    """Return a line for each photo as Markdown: answer, what was told, anthers found."""
    lines = [
        (
            photo.file,
            photo.verdict or photo.error or "",
            ", ".join(photo.reasons),
            "yes" if photo.unfamiliar else "",
            counted(photo.anthers_found, photo.anthers),
        )
        for photo in photos
    ]
    return table(("photo", "answer", "told", "unfamiliar", "marked anthers found"), lines)


def main(arguments: Sequence[str] | None = None) -> None:
    """Write the table of one evaluation."""
    parser = argparse.ArgumentParser(prog="python -m spikecheck.model_training.photo_table")
    parser.add_argument("evaluation", type=Path, help="as spikecheck evaluate --json writes it")
    parser.add_argument("--title", default="Photo by photo")
    parser.add_argument("--out", type=Path, help="write to this file instead of the terminal")
    options = parser.parse_args(arguments)
    photos = read_evaluation(options.evaluation).photos
    write_report(f"## {options.title}\n\n{photo_table(photos)}\n", options.out)


if __name__ == "__main__":
    run(main)
