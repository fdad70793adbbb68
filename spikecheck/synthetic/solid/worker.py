"""One process that renders: reads seeds line by line, answers each with its manifest entry.

An error ends the process; who started it notes the seed and starts another. So a crash of the
path tracer itself, which no exception can catch, costs one render and no more.
"""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from spikecheck.synthetic.solid import engine
from spikecheck.synthetic.solid.layer_file import save_layers
from spikecheck.synthetic.solid.layer_set import entry_of, layer_name
from spikecheck.synthetic.solid.renderer import render_layers


def main(arguments: list[str] | None = None) -> None:
    """Render the seeds that come in until there are no more."""
    parser = argparse.ArgumentParser(description="Render seeds read from standard input.")
    parser.add_argument("folder", type=Path)
    parser.add_argument("--variant", default="auto")
    parser.add_argument("--samples", type=int, required=True)
    parser.add_argument("--long-side", type=int)
    parser.add_argument("--plenty", action="store_true")
    parser.add_argument("--threads", type=int, required=True)
    options = parser.parse_args(arguments)
    engine.limit_threads(options.threads)
    for line in sys.stdin:
        seed = int(line)
        layers = render_layers(
            seed, plenty=options.plenty, variant=options.variant,
            long_side_px=options.long_side, samples=options.samples,
        )  # fmt: skip
        path = save_layers(layers, options.folder, layer_name(seed))
        sys.stdout.write(json.dumps(entry_of(path)) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
