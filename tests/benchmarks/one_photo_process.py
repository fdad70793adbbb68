"""Checks one photo again and again and times every stage; prints the samples as JSON.

Run by :mod:`tests.benchmarks.one_photo` in a process of its own, so that its memory is its own.
"""

from __future__ import annotations

import json
import sys
import time
from collections import defaultdict
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import cv2
import numpy as np

from spikecheck.cli.overlay_files import overlay_bytes
from spikecheck.networks import Network
from spikecheck.photo import decode_photo
from spikecheck.pipeline import check_photos
from spikecheck.pipeline.finders import default_finder
from spikecheck.record_check import record_check
from spikecheck.store import open_store
from spikecheck.thresholds import load_thresholds
from tests.benchmarks.processes import peak_memory_mb
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Iterator

_STAGES_INSIDE = ("tags", "find", "quality", "assess")


class Samples:
    """Wall time and processor time of all threads, in ms, of every run of every stage."""

    def __init__(self) -> None:
        self.wall_ms: dict[str, list[float]] = defaultdict(list)
        self.cpu_ms: dict[str, list[float]] = defaultdict(list)

    @contextmanager
    def stage(self, name: str) -> Iterator[None]:
        wall, cpu = time.perf_counter(), time.process_time()
        yield
        self.wall_ms[name].append((time.perf_counter() - wall) * 1000)
        self.cpu_ms[name].append((time.process_time() - cpu) * 1000)


def check_once(photo_file: Path, store: Path, samples: Samples) -> None:
    """Go the whole way with one photo: decode, result, overlay, record."""
    with samples.stage("whole way"):
        with samples.stage("decode"):
            data = photo_file.read_bytes()
            thresholds = load_thresholds()
            photo = decode_photo(data, file=photo_file.name, thresholds=thresholds.reading)
        with samples.stage("result"):
            finder = default_finder(thresholds)
            result = check_photos([photo], finder=finder, thresholds=thresholds)
        with samples.stage("overlay"):
            overlay = overlay_bytes(photo, result.photos[0], result=result, number=0)
        with samples.stage("record"), open_store(str(store)) as records:
            record_check(
                records, result, cross="C-1", spike=1, by="AB", photos=[data], overlays=[overlay]
            )
    for name in _STAGES_INSIDE:
        samples.wall_ms[f"  {name}"].append(result.timing_ms[name])


def watch_networks(samples: Samples) -> None:
    """Time every run of a network from here on, under the name of its task."""
    run = Network.run

    def timed(network: Network, images: Any) -> Any:
        with samples.stage(f"    {network.manifest.task} network"):
            return run(network, images)

    Network.run = timed  # type: ignore[method-assign]


def main() -> None:
    photo_file, store, repeats = Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3])
    with open_store(str(store)) as records:
        records.plans.add(planned("C-1", "L12", "L31"))
    samples = Samples()
    watch_networks(samples)
    peaks = []
    encoded = np.fromfile(photo_file, np.uint8)
    for _ in range(repeats + 1):
        check_once(photo_file, store, samples)
        peaks.append(peak_memory_mb())
        with samples.stage("cv2.imdecode"):  # in turns: others on the machine slow both alike
            cv2.imdecode(encoded, cv2.IMREAD_COLOR)
    json.dump(
        {"wall_ms": samples.wall_ms, "cpu_ms": samples.cpu_ms,
         "peak_mb_first": peaks[0], "peak_mb": peaks[-1],
         "model": default_finder(load_thresholds()).model.name},
        sys.stdout,
    )  # fmt: skip


if __name__ == "__main__":
    main()
