"""`spikecheck synth`: images of prepared spikes with exact truth."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

EXAMPLES = """Example: spikecheck synth drawn --count 20

Only spikes with a leftover: spikecheck synth drawn --kind leftover --count 5 --seed 42"""


def synth(
    folder: Annotated[
        Path,
        typer.Argument(
            metavar="FOLDER",
            help="Where to write; made where it lacks. Images already there are kept.",
            show_default=False,
        ),
    ],
    kind: Annotated[
        list[str] | None,
        typer.Option(
            metavar="KIND",
            help="Kind of image; given again, the kinds take turns. All kinds when left out; "
            "a kind that does not exist lists those that do.",
        ),
    ] = None,
    count: Annotated[
        int | None,
        typer.Option(metavar="N", min=1, help="Number of images; one a kind when left out."),
    ] = None,
    seed: Annotated[
        int, typer.Option(metavar="S", min=0, help="Seed of the first image; the next count up.")
    ] = 0,
    px_per_mm: Annotated[
        float | None,
        typer.Option("--px-per-mm", metavar="X", help="Scale; differs by image when left out."),
    ] = None,
    workers: Annotated[
        int | None,
        typer.Option(metavar="N", min=1, help="Images drawn at once; all cores when left out."),
    ] = None,
) -> None:
    """Draw images of prepared spikes, each with a truth file that `evaluate` reads."""
    from spikecheck.cli.console import printable, say
    from spikecheck.cli.progress import Bar
    from spikecheck.pipeline.batch_pool import core_count
    from spikecheck.synthetic.draw_set import write_set
    from spikecheck.synthetic.kinds import KINDS

    kinds = kind or list(KINDS)
    number = count or len(kinds)
    with Bar("Drawing") as bar:
        write_set(
            folder,
            kinds=kinds,
            count=number,
            seed=seed,
            px_per_mm=px_per_mm,
            workers=min(workers or core_count(), number),
            progress=bar.set,
        )
    images = "1 image" if number == 1 else f"{number} images"
    say(f"{images} with truth in {printable(str(folder))}")
