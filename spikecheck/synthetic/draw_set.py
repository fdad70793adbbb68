"""Draws sets of images into a folder: JPEG, truth and a manifest; goes on where it stopped."""

from __future__ import annotations

import multiprocessing
import tempfile
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from pathlib import Path
from typing import TYPE_CHECKING, Any

import cv2

from spikecheck.errors import OutputError, UsageError
from spikecheck.synthetic.image import make_image
from spikecheck.synthetic.manifest import (
    file_matches,
    read_entries,
    sha256_of,
    write_manifest,
    write_whole,
)
from spikecheck.synthetic.orders import JPEG_QUALITY, ImageOrder, orders_of
from spikecheck.vocabulary import write_truth

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

_SAVE_EVERY = 10  # images; so many are drawn again at most after a stop


def write_set(
    folder: Path,
    *,
    kinds: Sequence[str],
    count: int,
    seed: int,
    px_per_mm: float | None = None,
    workers: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> None:
    """Draw ``count`` images that take ``kinds`` in turn, with seeds counting up from ``seed``.

    Parameters
    ----------
    folder
        Where to; made when missing. Images that are there already, as its manifest says, are
        kept.
    kinds
        Names of kinds (:data:`spikecheck.synthetic.kinds.KINDS`).
    count
        Number of images, 1 or more.
    seed
        First seed.
    px_per_mm
        Scale; None draws one for each image.
    workers
        Processes.
    progress
        Called with the number of images done and the number of all.

    Raises
    ------
    UsageError
        If an argument is out of range or there is no such kind.
    OutputError
        If the folder cannot be written to.
    """
    orders = orders_of(kinds, count, seed, px_per_mm)
    if workers < 1:
        raise UsageError(f"the number of workers is 1 or more, got {workers}")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(
            f"cannot be made ({error.strerror})", where=str(folder), cure="Choose another folder"
        ) from error
    known = read_entries(folder)
    done = {o.image: known[o.image] for o in orders if _is_there(folder, o, known.get(o.image))}
    missing = [order for order in orders if order.image not in done]
    if progress is not None:
        progress(len(done), len(orders))
    try:
        for entry in _drawn(folder, missing, workers):
            done[entry["image"]] = entry
            if len(done) % _SAVE_EVERY == 0:
                _save(folder, orders, done)
            if progress is not None:
                progress(len(done), len(orders))
    finally:
        _save(folder, orders, done)


def _draw_order(folder: Path, order: ImageOrder) -> dict[str, Any]:
    """Draw one image and its truth into a folder; return its manifest entry."""
    cv2.setNumThreads(1)  # the work is spread over processes
    image = make_image(order.kind, order.seed, order.px_per_mm)
    options = [cv2.IMWRITE_JPEG_QUALITY, JPEG_QUALITY]
    _, jpeg = cv2.imencode(".jpg", image.pixels[..., ::-1], options)
    data = jpeg.tobytes()
    write_whole(folder / order.image, data)
    with tempfile.TemporaryDirectory() as scratch:
        written = Path(scratch) / order.truth
        write_truth(image.truth, written)
        truth = written.read_bytes()
    write_whole(folder / order.truth, truth)
    return {
        "image": order.image, **order.entry(),
        "sha256": sha256_of(data), "truth_sha256": sha256_of(truth),
    }  # fmt: skip


def _drawn(folder: Path, orders: list[ImageOrder], workers: int) -> Iterator[dict[str, Any]]:
    """Draw the orders here or in processes; yield each entry as it is done."""
    if workers == 1:
        for order in orders:
            yield _draw_order(folder, order)
        return
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(min(workers, len(orders) or 1), mp_context=context) as pool:
        waiting: list[Future[dict[str, Any]]] = [
            pool.submit(_draw_order, folder, order) for order in orders
        ]
        try:
            for future in as_completed(waiting):
                yield future.result()
        finally:
            for future in waiting:
                future.cancel()


def _is_there(folder: Path, order: ImageOrder, entry: dict[str, Any] | None) -> bool:
    """Whether an image was drawn from the same order and its files are unchanged."""
    return (
        entry is not None
        and all(entry.get(key) == value for key, value in order.entry().items())
        and file_matches(folder / order.image, entry.get("sha256"))
        and file_matches(folder / order.truth, entry.get("truth_sha256"))
    )


def _save(folder: Path, orders: Sequence[ImageOrder], done: dict[str, dict[str, Any]]) -> None:
    write_manifest(folder, [done[order.image] for order in orders if order.image in done])
