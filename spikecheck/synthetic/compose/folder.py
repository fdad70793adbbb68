"""Makes a folder of photos out of a folder of layers; goes on where it stopped."""

from __future__ import annotations

import json
import multiprocessing
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import cv2

from spikecheck.errors import OutputError, UsageError
from spikecheck.synthetic.compose.files import PhotoFiles, write_photo
from spikecheck.synthetic.compose.judging import plain_kind
from spikecheck.synthetic.compose.mix import Mix, draw_kind
from spikecheck.synthetic.compose.photo import compose_photo
from spikecheck.synthetic.compose.randomness import COMPOSER_VERSION
from spikecheck.synthetic.manifest import MANIFEST, write_whole
from spikecheck.synthetic.solid.layer_file import SUFFIX, load_layers

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from pathlib import Path

SCHEMA = "spikecheck.photo-set/1"
_SEEDS_APART = 100_000  # photos of one seed and layer, at most


@dataclass(frozen=True, slots=True)
class Job:
    """The photos to make of one layer.

    Parameters
    ----------
    layer, other
        File of the layer, and of another one for what is beside and behind it.
    folder
        Where the photos go.
    seed
        Seed of the set.
    numbers
        Which of the layer's photos.
    mix
        What the set is mixed of.
    """

    layer: Path
    other: Path
    folder: Path
    seed: int
    numbers: tuple[int, ...]
    mix: Mix


def write_photos(
    layers_folder: Path,
    folder: Path,
    *,
    seed: int,
    per_layer: int,
    mix: Mix = Mix.FAULTS,
    workers: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> None:
    """Make ``per_layer`` photos of every layer of a folder.

    Parameters
    ----------
    layers_folder
        Folder of rendered layers.
    folder
        Where to; made when missing. Photos that are there are kept.
    seed
        Seed of the set, 0 or more.
    per_layer
        Photos a layer, 1 or more.
    mix
        What the set is mixed of.
    workers
        Processes.
    progress
        Called with the number of photos done and of all.

    Raises
    ------
    UsageError
        If a number is out of range, there are no layers or the folder holds another set.
    OutputError
        If the folder cannot be written to.
    RenderError
        If a layer cannot be read.
    """
    for name, value, least in (("seed", seed, 0), ("photos a layer", per_layer, 1)):
        if value < least:
            raise UsageError(f"{name}: {least} or more, got {value}")
    layers = sorted(layers_folder.glob(f"*{SUFFIX}"))
    if not layers:
        raise UsageError(
            "holds no rendered layers", where=str(layers_folder), cure="Render some first"
        )
    claim_folder(folder, {"kind": "composed", "seed": seed, "mix": mix.value})
    jobs = []
    for place, layer in enumerate(layers):
        other = layers[(place + 1) % len(layers)]
        numbers = tuple(
            k for k in range(per_layer) if not PhotoFiles(folder, photo_name(layer, k)).are_there
        )
        if numbers:
            jobs.append(Job(layer, other, folder, seed, numbers, mix))
    total = len(layers) * per_layer
    done = total - sum(len(job.numbers) for job in jobs)
    run_jobs(make_photos, jobs, workers=workers, progress=photo_counter(progress, done, total))


def photo_name(layer: Path, number: int) -> str:
    """Return the name of a layer's photo."""
    return f"{layer.name.removesuffix(SUFFIX)}_{number:03d}"


def composition_seed(seed: int, number: int) -> int:
    """Return the seed that the photo ``number`` of each layer is composed with in a set."""
    return seed * _SEEDS_APART + number


def make_photos(job: Job) -> int:
    """Make the photos of one job; return how many."""
    cv2.setNumThreads(1)  # the work is spread over processes
    layers = [load_layers(job.layer), load_layers(job.other)]
    record = layers[0].record
    plain = plain_kind(record)
    for number in job.numbers:
        seed = composition_seed(job.seed, number)
        kind = draw_kind(seed, record.seed, plain, job.mix)
        photo = compose_photo(
            layers, seed=seed, kind=kind,
            on_grey=job.mix is Mix.BARE, littered=job.mix is Mix.LITTERED,
        )  # fmt: skip
        write_photo(PhotoFiles(job.folder, photo_name(job.layer, number)), photo)
    return len(job.numbers)


def claim_folder(folder: Path, settings: dict[str, Any]) -> None:
    """Make a folder for a set, or check that it holds this one.

    Raises
    ------
    UsageError
        If it holds another set.
    OutputError
        If it cannot be made.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(
            f"cannot be made ({error.strerror})", where=str(folder), cure="Choose another folder"
        ) from error
    wanted = {"schema": SCHEMA, "composer": COMPOSER_VERSION, **settings}
    path = folder / MANIFEST
    if path.is_file():
        try:
            found = json.loads(path.read_text(encoding="utf-8"))
        except ValueError:
            found = None
        if found != wanted:
            raise UsageError(
                "holds photos of another set", where=str(folder), cure="Choose another folder"
            )
        return
    write_whole(path, (json.dumps(wanted, indent=1) + "\n").encode())


def run_jobs(
    work: Callable[[Any], int],
    jobs: Sequence[Any],
    *,
    workers: int,
    progress: Callable[[int], None],
) -> None:
    """Do the jobs here or in processes; ``progress`` is told how many photos each made.

    Raises
    ------
    UsageError
        If the number of workers is below 1.
    """
    if workers < 1:
        raise UsageError(f"the number of workers is 1 or more, got {workers}")
    progress(0)
    for count in _results(work, jobs, workers):
        progress(count)


def _results(work: Callable[[Any], int], jobs: Sequence[Any], workers: int) -> Iterator[int]:
    if workers == 1:
        yield from map(work, jobs)
        return
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(min(workers, len(jobs) or 1), mp_context=context) as pool:
        waiting = [pool.submit(work, job) for job in jobs]
        try:
            for future in as_completed(waiting):
                yield future.result()
        finally:
            for future in waiting:
                future.cancel()


def photo_counter(
    progress: Callable[[int, int], None] | None, done: int, total: int
) -> Callable[[int], None]:
    """Return what adds up the photos made, starting at ``done``, and tells ``progress``."""
    made = done

    def count(more: int) -> None:
        nonlocal made
        made += more
        if progress is not None:
            progress(made, total)

    return count
