"""`spikecheck synth`: images of prepared spikes with exact truth."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

EXAMPLES = """Example: spikecheck synth drawn --count 20

Only spikes with a leftover: spikecheck synth drawn --kind leftover --count 5 --seed 42"""


def synth(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="Where to write; made where it lacks.",
                             show_default=False)
    ],
    kind: Annotated[
        list[str] | None,
        typer.Option(metavar="KIND", help="Kind of image, may be given again; all when left out."),
    ] = None,
    count: Annotated[int, typer.Option(metavar="N", min=1, help="Images of each kind.")] = 1,
    seed: Annotated[
        int, typer.Option(metavar="S", min=0, help="Seed of the first; the next count up.")
    ] = 0,
    px_per_mm: Annotated[
        float | None,
        typer.Option("--px-per-mm", metavar="X", help="Scale; differs by image when left out."),
    ] = None,
) -> None:  # fmt: skip
    """Draw images of prepared spikes, each with a truth file that `evaluate` reads."""
    from spikecheck.cli.console import printable, say
    from spikecheck.synthetic import write_set

    written = write_set(folder, kinds=kind, count=count, seed=seed, px_per_mm=px_per_mm)
    images = "1 image" if len(written) == 1 else f"{len(written)} images"
    say(f"Wrote {images} with truth to {printable(str(folder))}")
