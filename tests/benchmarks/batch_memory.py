"""How much memory a batch takes, all its processes together, and how long.

Run it with ``python -m tests.benchmarks.batch_memory`` from the top of the repository.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from tests.benchmarks.picture import ROWS, draw_photo
from tests.benchmarks.processes import memory_mb, tree_of, use_cores
from tests.benchmarks.report import add_json_option, keep, show

_COMMAND = Path(sys.executable).with_name("spikecheck")
_EVERY_S = 0.05
_REVIEW = 1  # the photo has a leftover


def measure(photo: bytes, *, photos: int, cores: int) -> dict[str, Any]:
    """Run a batch over ``photos`` files and return its figures."""
    use_cores(cores)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "photos"
        folder.mkdir()
        for number in range(photos):
            # what follows the end of a JPEG is not read, but makes every file another
            (folder / f"{number:04}.jpg").write_bytes(photo + number.to_bytes(4, "big"))
        started = time.perf_counter()
        with subprocess.Popen(
            [_COMMAND, "batch", folder, "--jsonl", Path(name) / "results.jsonl"],
            stdout=subprocess.DEVNULL,
        ) as batch:
            memory = watch_memory(batch)
        wall_s = time.perf_counter() - started
        results = (Path(name) / "results.jsonl").read_bytes().count(b"\n")
    if batch.returncode != _REVIEW or results != photos:
        raise RuntimeError(f"the batch ended with {batch.returncode} after {results} results")
    return {"photos": photos, "cores": cores, "wall_s": wall_s, **memory}


def watch_memory(batch: subprocess.Popen[bytes]) -> dict[str, float]:
    """Look at the memory of all processes of a batch until it ends; return the peaks in MB."""
    resident, share = 0.0, 0.0
    peaks: dict[int, float] = {}
    while batch.poll() is None:
        now = {pid: held for pid in tree_of(batch.pid) if (held := memory_mb(pid))}
        resident = max(resident, sum(held["resident"] for held in now.values()))
        share = max(share, sum(held["share"] for held in now.values()))
        peaks |= {pid: held["peak"] for pid, held in now.items()}
        time.sleep(_EVERY_S)
    return {
        "processes": len(peaks),
        "peak_share_mb": share,
        "peak_resident_mb": resident,
        "sum_of_own_peaks_mb": sum(peaks.values()),
    }


def main(arguments: list[str] | None = None) -> None:
    parser = argparse.ArgumentParser(prog="batch_memory", description=__doc__)
    parser.add_argument("--photos", type=int, default=200, help="photos in the batch")
    parser.add_argument("--rows", type=int, default=ROWS, help="height of each photo, px")
    parser.add_argument("--cores", type=int, default=2, help="cores to use")
    add_json_option(parser)
    options = parser.parse_args(arguments)
    figures = measure(draw_photo(options.rows), photos=options.photos, cores=options.cores)
    show(
        f"Batch of {options.photos} photos of {options.rows} x {options.rows * 3 // 4} px, "
        f"on {options.cores} cores",
        ["", ""],
        [
            ["time a photo, s", f"{figures['wall_s'] / options.photos:.2f}"],
            ["processes", f"{figures['processes']}"],
            ["peak memory, shared pages once, MB", f"{figures['peak_share_mb']:.0f}"],
            ["peak memory, shared pages each time, MB", f"{figures['peak_resident_mb']:.0f}"],
            ["every process at its own peak, MB", f"{figures['sum_of_own_peaks_mb']:.0f}"],
        ],
    )
    keep(figures, options.json)


if __name__ == "__main__":
    main()
