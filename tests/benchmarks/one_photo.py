"""How long one 12-megapixel photo takes, how much memory, and how that compares with decoding it.

Run it with ``python -m tests.benchmarks.one_photo`` from the top of the repository.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median
from typing import Any

from tests.benchmarks.picture import ROWS, draw_photo
from tests.benchmarks.processes import use_cores
from tests.benchmarks.report import add_json_option, keep, show

_ORDER = (
    "cv2.imdecode", "decode", "result", "  tags", "  find", "    overview network",
    "    florets network", "  quality", "  assess", "overlay", "record", "whole way",
)  # fmt: skip


def measure(photo: bytes, *, cores: int, repeats: int) -> dict[str, Any]:
    """Return the samples of a fresh process on ``cores`` cores."""
    use_cores(cores)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "photo.jpg").write_bytes(photo)
        process = [sys.executable, "-m", "tests.benchmarks.one_photo_process"]
        done = subprocess.run(
            [*process, folder / "photo.jpg", folder / "records", str(repeats)],
            check=True,
            stdout=subprocess.PIPE,
        )
    samples: dict[str, Any] = json.loads(done.stdout)
    ratios = {
        kind: median(samples[kind]["whole way"][1:]) / median(samples[kind]["cv2.imdecode"][1:])
        for kind in ("wall_ms", "cpu_ms")
    }
    return {**samples, "photo_bytes": len(photo), "times_imdecode": ratios}


def main(arguments: list[str] | None = None) -> None:
    parser = argparse.ArgumentParser(prog="one_photo", description=__doc__)
    parser.add_argument("--rows", type=int, default=ROWS, help="height of the photo, px")
    parser.add_argument("--cores", type=int, default=2, help="cores to use")
    parser.add_argument("--repeats", type=int, default=9, help="runs after the first")
    add_json_option(parser)
    options = parser.parse_args(arguments)
    figures = measure(draw_photo(options.rows), cores=options.cores, repeats=options.repeats)
    wall, cpu = figures["wall_ms"], figures["cpu_ms"]
    rows = []
    for name in (name for name in _ORDER if name in wall):
        first, *later = wall[name]
        busy = f"{median(cpu[name][1:]):.0f}" if name in cpu else ""
        rows.append([name, f"{first:.0f}", f"{median(later):.0f}", f"{min(later):.0f}", busy])
    size_mb = figures["photo_bytes"] / 1e6
    show(
        f"One photo of {options.rows} x {options.rows * 3 // 4} px, {size_mb:.1f} MB, "
        f"on {options.cores} cores, looked at by: {figures['model']}",
        ["ms", "first in a process", "median", "best", "processor, median"],
        rows,
    )
    show(
        "Compared",
        ["", ""],
        [
            ["whole way / cv2.imdecode", f"{figures['times_imdecode']['wall_ms']:.1f}"],
            ["the same in processor time", f"{figures['times_imdecode']['cpu_ms']:.1f}"],
            ["peak memory after one photo, MB", f"{figures['peak_mb_first']:.0f}"],
            [f"peak memory after {options.repeats + 1} photos, MB", f"{figures['peak_mb']:.0f}"],
        ],
    )
    keep(figures, options.json)


if __name__ == "__main__":
    main()
