"""Images of the flat generator, drawn once a process: what the network-free method reads."""

from __future__ import annotations

import atexit
import tempfile
from functools import cache
from pathlib import Path

from spikecheck.synthetic.draw_set import write_set

_PX_PER_MM = 26.0


@cache
def _folder() -> Path:
    """Return a folder that is there until the process ends."""
    kept = tempfile.TemporaryDirectory()
    atexit.register(kept.cleanup)
    return Path(kept.name)


@cache
def drawn_image(kind: str, seed: int) -> Path:
    """Return a JPEG file beside which its truth lies."""
    folder = _folder() / f"{kind}_{seed}"
    write_set(folder, kinds=[kind], count=1, seed=seed, px_per_mm=_PX_PER_MM)
    (image,) = folder.glob("*.jpg")
    return image
