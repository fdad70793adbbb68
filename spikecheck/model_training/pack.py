"""Packs a set of photos so that many runs read it quickly.

::

    python -m spikecheck.model_training.pack SET PACK

``SET`` is a folder of ``NAME.jpg`` with ``NAME.json`` and, where pixels are labelled,
``NAME.classes.png``. ``PACK`` becomes a folder: ``overview.npy`` and ``florets.npy`` hold the
views of all photos one after the other, four bytes a pixel (red, green, blue, class);
``tables.npz`` and ``photos.json`` say what is where and what is in it. Files appear only whole.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import logging
import multiprocessing
import os
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import cv2
import numpy as np

from spikecheck.errors import TrainingError
from spikecheck.model_training.class_map import UNKNOWN_CLASS, PixelClass
from spikecheck.model_training.command import run
from spikecheck.model_training.marks import anther_marks, floret_marks
from spikecheck.model_training.views import View, drawn_view, florets_view, overview_view
from spikecheck.vocabulary import PhotoTruth, QualityProblem, read_truth

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

TASKS = ("overview", "florets")
AXIS_POINTS = 16
_BYTES_A_PIXEL = 4
_CURE = "Make the photo set anew or take the photo out of it"
_LOG = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True, eq=False)
class _Order:
    """One photo, and where its views go."""

    image: Path
    truth: PhotoTruth
    views: dict[str, View]
    offsets: dict[str, int]


def pack_set(folder: Path, pack: Path, *, workers: int = 1) -> None:
    """Pack a folder of photos.

    Parameters
    ----------
    folder
        The photo set.
    pack
        Folder to write; what is in it of an earlier pack is replaced.
    workers
        Processes.

    Raises
    ------
    TrainingError
        If the set holds no photo with truth or a file of it cannot be read.
    """
    images = sorted(i for i in folder.glob("*.jpg") if i.with_suffix(".json").is_file())
    if not images:
        raise TrainingError(
            "no NAME.jpg with NAME.json", where=str(folder), cure="Name a folder of photos"
        )
    pack.mkdir(parents=True, exist_ok=True)
    orders, ends = _orders(images)
    places = {task: pack / f".{task}.new.npy" for task in TASKS}
    for task, place in places.items():
        np.lib.format.open_memmap(
            place, mode="w+", dtype=np.uint8, shape=(ends[task], _BYTES_A_PIXEL)
        )
    work = partial(_packed, places=places)
    if workers > 1:
        context = multiprocessing.get_context("spawn")
        with ProcessPoolExecutor(min(workers, len(orders)), mp_context=context) as pool:
            entries = list(pool.map(work, orders, chunksize=4))
    else:
        entries = [work(order) for order in orders]
    _write_tables(pack, orders, entries)
    for task, place in places.items():
        place.replace(pack / f"{task}.npy")
    _LOG.info("%s: %d photos packed", folder, len(orders))


def _orders(images: Sequence[Path]) -> tuple[list[_Order], dict[str, int]]:
    """Lay the views of all photos one after the other."""
    orders, ends = [], dict.fromkeys(TASKS, 0)
    for image in images:
        truth = read_truth(image.with_suffix(".json"))
        views = {"overview": overview_view(truth)}
        upright = florets_view(truth)
        if upright is not None:
            views["florets"] = upright
        orders.append(_Order(image, truth, views, dict(ends)))
        for task, view in views.items():
            ends[task] += view.rows * view.columns
    return orders, ends


def _packed(order: _Order, places: dict[str, Path]) -> dict[str, Any]:
    """Draw the views of one photo where they belong; return its marks and digest."""
    cv2.setNumThreads(1)  # the work is spread over processes
    data = order.image.read_bytes()
    decoded = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR)
    truth = order.truth
    if decoded is None or decoded.shape[:2] != (truth.height, truth.width):
        raise TrainingError(
            "is no picture of the size its truth tells of", where=str(order.image), cure=_CURE
        )
    pixels: NDArray[np.uint8] = np.ascontiguousarray(decoded[..., ::-1], dtype=np.uint8)
    classes = _classes(order.image, truth)
    labelled = np.full(pixels.shape[:2], UNKNOWN_CLASS, np.uint8) if classes is None else classes
    entry: dict[str, Any] = {
        "labelled": classes is not None,
        "sha256": hashlib.sha256(data + order.image.with_suffix(".json").read_bytes()).hexdigest(),
    }
    for task, view in order.views.items():
        flat = np.load(places[task], mmap_mode="r+")
        first = order.offsets[task]
        flat[first : first + view.rows * view.columns] = drawn_view(pixels, labelled, view).reshape(
            -1, _BYTES_A_PIXEL
        )
        del flat
        entry[task] = (anther_marks(truth, view, classes), floret_marks(truth, view))
    return entry


def _classes(image: Path, truth: PhotoTruth) -> NDArray[np.uint8] | None:
    path = image.with_suffix(".classes.png")
    if not path.is_file():
        return None
    classes = cv2.imread(str(path), cv2.IMREAD_GRAYSCALE)
    if classes is None or classes.shape != (truth.height, truth.width):
        raise TrainingError(
            "is no class map of the size the truth tells of", where=str(path), cure=_CURE
        )
    labels: NDArray[np.uint8] = np.array(classes, np.uint8)
    several = QualityProblem.SEVERAL_SPIKES in (truth.problems or ())
    if several and not (labels == PixelClass.OTHER_SPIKE).any():
        # sets that know only "over or beside it": in such a photo that is the other spike
        labels[labels == PixelClass.OVER] = PixelClass.OTHER_SPIKE
    return labels


def _write_tables(pack: Path, orders: Sequence[_Order], entries: Sequence[dict[str, Any]]) -> None:
    arrays: dict[str, NDArray[Any]] = {}
    for task in TASKS:
        used = [
            (o, o.views[task], entry) for o, entry in zip(orders, entries, strict=True)
            if task in o.views
        ]  # fmt: skip
        arrays[f"{task}_photo"] = np.array(
            [number for number, o in enumerate(orders) if task in o.views], np.int64
        )
        arrays[f"{task}_first"] = np.array([o.offsets[task] for o, _, _ in used], np.int64)
        arrays[f"{task}_size"] = np.array([(v.rows, v.columns) for _, v, _ in used], np.int64)
        arrays[f"{task}_px_per_mm"] = np.array(
            [np.nan if v.px_per_mm is None else v.px_per_mm for _, v, _ in used], np.float32
        )
        arrays[f"{task}_axis"] = np.array(
            [_axis(o.truth, v) for o, v, _ in used], np.float32
        ).reshape(-1, AXIS_POINTS, 2)
        for kind, name in enumerate(("anthers", "florets")):
            marks = [entry[task][kind] for _, _, entry in used]
            arrays[f"{task}_{name}_count"] = np.array([len(m) for m in marks], np.int64)
            arrays[f"{task}_{name}"] = np.concatenate(marks) if marks else np.empty((0, 0))
    photos = [
        {
            "name": order.image.stem, "sha256": entry["sha256"], "labelled": entry["labelled"],
            "complete": order.truth.complete, "florets_marked": order.truth.florets is not None,
            "problems": None if order.truth.problems is None else list(order.truth.problems),
            "families": dict(order.truth.families or {}),
        }
        for order, entry in zip(orders, entries, strict=True)
    ]  # fmt: skip
    new = pack / ".tables.new.npz"
    np.savez(new, allow_pickle=False, **arrays)
    new.replace(pack / "tables.npz")
    text = pack / ".photos.new.json"
    text.write_text(json.dumps(photos), encoding="utf-8")
    text.replace(pack / "photos.json")


def _axis(truth: PhotoTruth, view: View) -> NDArray[np.float64]:
    """Return evenly spaced places from base to tip in the view; NaN when not known."""
    if truth.axis is None:
        return np.full((AXIS_POINTS, 2), np.nan)
    line = view.place(np.array([[point.row, point.column] for point in truth.axis]))
    steps = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    wanted = np.linspace(0, steps[-1], AXIS_POINTS)
    return np.stack([np.interp(wanted, steps, line[:, i]) for i in range(2)], axis=1)


def main(arguments: Sequence[str] | None = None) -> None:
    """Pack one set."""
    parser = argparse.ArgumentParser(description="Packs a set of photos for fitting networks.")
    parser.add_argument("set", type=Path)
    parser.add_argument("pack", type=Path)
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    options = parser.parse_args(arguments)
    pack_set(options.set, options.pack, workers=options.workers)


if __name__ == "__main__":
    run(main)
