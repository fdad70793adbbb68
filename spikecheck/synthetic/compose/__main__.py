"""Makes photos with truth and class maps out of rendered layers; goes on where it stopped.

::

    python -m spikecheck.synthetic.compose layers photos --seed 100000 --per-layer 10 --workers 8
    python -m spikecheck.synthetic.compose --flat photos --seed 100000 --count 2000
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from spikecheck.errors import SpikecheckError, UsageError
from spikecheck.synthetic.compose.flat import write_flat
from spikecheck.synthetic.compose.folder import write_photos
from spikecheck.synthetic.compose.mix import Mix

_SAID_EVERY = 50  # photos


def main(arguments: list[str] | None = None) -> int:
    """Make a set; returns 0, or 2 when something is wrong with what was asked for."""
    options = _parser().parse_args(arguments)
    try:
        _make(options)
    except SpikecheckError as error:
        sys.stderr.write(f"{error}\n")
        return 2
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m spikecheck.synthetic.compose",
        description="Make photos with truth out of rendered layers, or flat ones.",
    )
    parser.add_argument("layers", type=Path, nargs="?", help="folder of rendered layers")
    parser.add_argument("out", type=Path, nargs="?", help="where the photos go")
    parser.add_argument("--flat", type=Path, metavar="OUT", help="draw flat images into OUT")
    parser.add_argument("--seed", type=int, required=True, help="seed of the set")
    parser.add_argument("--per-layer", type=int, default=10, help="photos a layer (10)")
    for name, told in (
        (Mix.GOOD, "good photos alone, no faults"),
        (Mix.FAULTY, "photos with a fault alone"),
        (Mix.BARE, "the renders as they are, on grey"),
        (Mix.LITTERED, "many look-alikes of anthers on every photo: for fitting only"),
    ):
        parser.add_argument(f"--{name}", dest="mixes", action="append_const", const=name, help=told)
    parser.add_argument("--count", type=int, default=100, help="flat images (100)")
    parser.add_argument("--workers", type=int, default=1, help="processes (1)")
    return parser


def _make(options: argparse.Namespace) -> None:
    if options.flat is not None:
        if options.layers is not None or options.mixes:
            raise UsageError("flat images are drawn without layers", cure="Give --flat OUT alone")
        write_flat(
            options.flat, seed=options.seed, count=options.count, workers=options.workers,
            progress=_tell,
        )  # fmt: skip
        return
    if options.layers is None or options.out is None:
        raise UsageError("two folders are needed", cure="Give LAYERS and OUT, or --flat OUT")
    mixes = options.mixes or [Mix.FAULTS]
    if len(mixes) > 1:
        given = ", ".join(f"--{mix}" for mix in mixes)
        raise UsageError("a set is mixed in one way", cure=f"Give only one of {given}")
    write_photos(
        options.layers, options.out, seed=options.seed, per_layer=options.per_layer,
        mix=mixes[0], workers=options.workers, progress=_tell,
    )  # fmt: skip


def _tell(done: int, total: int) -> None:
    if done == total or done % _SAID_EVERY == 0:
        sys.stderr.write(f"{done} of {total}\n")


if __name__ == "__main__":
    sys.exit(main())
