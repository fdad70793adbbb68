"""How long the command takes from the start of its process to its first work.

Run it with ``python -m tests.benchmarks.starting`` from the top of the repository.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING, Any

from tests.benchmarks.picture import draw_photo
from tests.benchmarks.processes import use_cores
from tests.benchmarks.report import add_json_option, keep, show
from tests.benchmarks.until_first_open import PHOTO_REACHED

if TYPE_CHECKING:
    from collections.abc import Sequence

_COMMAND = Path(sys.executable).with_name("spikecheck")
_UNTIL_OPEN = Path(__file__).with_name("until_first_open.py")
_ROWS = 400  # a small photo: it is not read


def time_process(command: Sequence[object], *, expect: int, cwd: Path) -> tuple[float, float]:
    """Return the wall time and the processor time of a process from start to end, ms."""
    before = os.times()
    started = time.perf_counter()
    done = subprocess.run(
        [str(part) for part in command], check=False, capture_output=True, cwd=cwd
    )
    wall_ms = (time.perf_counter() - started) * 1000
    after = os.times()
    if done.returncode != expect:
        raise RuntimeError(f"{command} ended with {done.returncode}: {done.stderr.decode()}")
    busy_s = after.children_user + after.children_system
    return wall_ms, (busy_s - before.children_user - before.children_system) * 1000


def measure(*, cores: int, repeats: int) -> dict[str, Any]:
    """Return the samples of every way to start."""
    photo = draw_photo(_ROWS)
    use_cores(cores)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "photo.jpg").write_bytes(photo)
        starts = {
            "--help": ([_COMMAND, "--help"], 0),
            "--version": ([_COMMAND, "--version"], 0),
            "check --help": ([_COMMAND, "check", "--help"], 0),
            "check, until the photo is opened": (
                [sys.executable, _UNTIL_OPEN, "photo.jpg", "check", "photo.jpg"],
                PHOTO_REACHED,
            ),
        }
        times = {
            title: [time_process(command, expect=code, cwd=folder) for _ in range(repeats + 1)]
            for title, (command, code) in starts.items()
        }
    return {
        "wall_ms": {title: [wall for wall, _ in each] for title, each in times.items()},
        "cpu_ms": {title: [cpu for _, cpu in each] for title, each in times.items()},
    }


def main(arguments: list[str] | None = None) -> None:
    parser = argparse.ArgumentParser(prog="starting", description=__doc__)
    parser.add_argument("--cores", type=int, default=2, help="cores to use")
    parser.add_argument("--repeats", type=int, default=9, help="runs after the first")
    add_json_option(parser)
    options = parser.parse_args(arguments)
    figures = measure(cores=options.cores, repeats=options.repeats)
    rows = []
    for title, (first, *later) in figures["wall_ms"].items():
        busy = median(figures["cpu_ms"][title][1:])
        rows.append(
            [title, f"{first:.0f}", f"{median(later):.0f}", f"{min(later):.0f}", f"{busy:.0f}"]
        )
    show(
        f"From the start of the process, on {options.cores} cores",
        ["ms", "first", "median", "best", "processor, median"],
        rows,
    )
    keep(figures, options.json)


if __name__ == "__main__":
    main()
