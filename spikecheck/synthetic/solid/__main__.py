"""Renders a range of seeds into a folder of layers; goes on where it stopped.

::

    python -m spikecheck.synthetic.solid layers --seeds 100000:102000 --gpus 0,1 --workers 8
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path
from typing import Any

from spikecheck.errors import OutputError, SpikecheckError, UsageError
from spikecheck.synthetic.solid.crew import Crew
from spikecheck.synthetic.solid.layer_set import LayerSet, Settings
from spikecheck.synthetic.solid.order import SHARES, drawn_state
from spikecheck.synthetic.solid.renderer import SAMPLES

_SAVE_EVERY = 25  # renders
_SOME_LEFT_OUT = 3  # exit code; the others are there and can be used
_TIMEOUT_S = 300.0  # the first render of a process compiles for up to a minute


def main(arguments: list[str] | None = None) -> int:
    """Render; returns 0, 3 when renders failed, or 2 when what was asked for is wrong."""
    options = _parser().parse_args(arguments)
    try:
        return _render(options)
    except SpikecheckError as error:
        sys.stderr.write(f"{error}\n")
        return 2


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m spikecheck.synthetic.solid",
        description="Render spikes with a path tracer into layers with truth.",
    )
    parser.add_argument("folder", type=Path, help="where to; goes on where it stopped")
    parser.add_argument("--seeds", required=True, help="range A:B, B left out")
    parser.add_argument(
        "--shows", nargs="+", choices=SHARES, default=list(SHARES), metavar="STATE",
        help=f"leave out seeds that stand for anything else (all of: {', '.join(SHARES)})",
    )  # fmt: skip
    parser.add_argument(
        "--plenty", action="store_true",
        help="leave many anthers where some are left, and many look-alikes: for fitting only",
    )  # fmt: skip
    parser.add_argument(
        "--variant", default="auto", help="Mitsuba variant (default: GPU, else CPU)"
    )
    parser.add_argument("--workers", type=int, default=1, help="processes")
    parser.add_argument("--gpus", default="", help="GPUs the processes are spread over, as 0,1")
    parser.add_argument("--samples", type=int, default=SAMPLES, help="paths a pixel")
    parser.add_argument("--long-side", type=int, help="px (default: what 18-24 px/mm need)")
    parser.add_argument("--timeout", type=float, default=_TIMEOUT_S, help="s a render may take")
    return parser


def _render(options: argparse.Namespace) -> int:
    seeds = [seed for seed in _range(options.seeds) if drawn_state(seed) in options.shows]
    for name, value in (("workers", options.workers), ("samples", options.samples)):
        if value < 1:
            raise UsageError(f"the number of {name} is 1 or more, got {value}")
    try:
        options.folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(
            f"cannot be made ({error.strerror})", where=str(options.folder),
            cure="Choose another folder",
        ) from error  # fmt: skip
    settings = Settings(
        samples=options.samples, long_side_px=options.long_side, plenty=options.plenty
    )
    layers = LayerSet(options.folder, settings)
    missing = [seed for seed in seeds if seed not in layers.entries]
    sys.stderr.write(f"{len(seeds) - len(missing)} of {len(seeds)} are there\n")
    crew = Crew(
        folder=options.folder, settings=settings, variant=options.variant,
        workers=options.workers, timeout_s=options.timeout,
        gpus=tuple(filter(None, options.gpus.split(","))),
    )  # fmt: skip
    _run(crew, layers, missing)
    return _SOME_LEFT_OUT if layers.failed else 0


def _run(crew: Crew, layers: LayerSet, missing: list[int]) -> None:
    begun, ended = time.monotonic(), 0

    def done(entry: dict[str, Any]) -> None:
        nonlocal ended
        ended += 1
        layers.entries[int(entry["seed"])] = entry
        if ended % _SAVE_EVERY == 0 or ended == len(missing):
            layers.save()
            _tell(ended, len(missing), time.monotonic() - begun)

    def failed(seed: int, why: str) -> None:
        layers.failed[seed] = why
        sys.stderr.write(f"seed {seed} left out: {why}\n")

    try:
        crew.render(missing, done=done, failed=failed)
    finally:
        layers.save()


def _tell(ended: int, wanted: int, seconds: float) -> None:
    rest = seconds / ended * (wanted - ended)
    sys.stderr.write(
        f"{ended} of {wanted} rendered, {seconds / ended:.2f} s each, {rest / 60:.1f} min to go\n"
    )


def _range(text: str) -> range:
    try:
        first, end = (int(part) for part in text.split(":"))
    except ValueError as error:
        raise UsageError(f"seeds are a range such as 100000:102000, got {text!r}") from error
    if not 0 <= first < end:
        raise UsageError(f"seeds go from 0 or more upwards, got {text!r}")
    return range(first, end)


if __name__ == "__main__":
    sys.exit(main())
