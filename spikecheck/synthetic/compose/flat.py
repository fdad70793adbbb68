"""The flat 2-D generator's images as a photo set, to compare what rendering buys."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.errors import UsageError
from spikecheck.synthetic.compose.classes import ANTHER_CLASS, SPIKE, THING
from spikecheck.synthetic.compose.files import PhotoFiles, write_photo
from spikecheck.synthetic.compose.folder import claim_folder, photo_counter, run_jobs
from spikecheck.synthetic.compose.mix import draw_kind
from spikecheck.synthetic.compose.photo import ComposedPhoto
from spikecheck.synthetic.image import SyntheticImage, make_image
from spikecheck.synthetic.orders import JPEG_QUALITY
from spikecheck.synthetic.rachis import SPIKE_CODE, STEM_CODE

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from spikecheck.synthetic.arrays import Bytes

# What a good photo shows, in the shares of the rendered states.
_PLAIN = {"leftover": 0.36, "leftover_outside": 0.04, "clean": 0.27, "turned_away": 0.08,
          "partly_prepared": 0.1, "unprepared": 0.15}  # fmt: skip


@dataclass(frozen=True, slots=True)
class FlatJob:
    """One image to draw into a folder."""

    folder: Path
    seed: int


def write_flat(
    folder: Path,
    *,
    seed: int,
    count: int,
    workers: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> None:
    """Draw ``count`` flat images, seeds counting up from ``seed``, as a photo set.

    Parameters and errors as in :func:`~spikecheck.synthetic.compose.folder.write_photos`.
    """
    for name, value, least in (("seed", seed, 0), ("photos", count, 1)):
        if value < least:
            raise UsageError(f"{name}: {least} or more, got {value}")
    claim_folder(folder, {"kind": "flat"})
    jobs = [FlatJob(folder, one) for one in range(seed, seed + count)]
    missing = [job for job in jobs if not PhotoFiles(folder, _name(job.seed)).are_there]
    counter = photo_counter(progress, count - len(missing), count)
    run_jobs(make_flat, missing, workers=workers, progress=counter)


def make_flat(job: FlatJob) -> int:
    """Draw one image with its class map."""
    cv2.setNumThreads(1)
    plain = str(np.random.default_rng(job.seed).choice(list(_PLAIN), p=list(_PLAIN.values())))
    kind = draw_kind(job.seed, 0, plain)
    image = make_image(kind, job.seed)
    families = {"kind": kind, "background": "flat", "camera": "flat"}
    truth = replace(image.truth, families=families)
    photo = ComposedPhoto(image.pixels, flat_classes(image), truth, JPEG_QUALITY)
    write_photo(PhotoFiles(job.folder, _name(job.seed)), photo)
    return 1


def flat_classes(image: SyntheticImage) -> Bytes:
    """Return the class map of a flat image, as of a composed photo."""
    owner = image.owner_map
    classes = np.where(owner >= SPIKE_CODE, SPIKE, 0).astype(np.uint8)
    classes[image.covered & (owner < SPIKE_CODE) & (owner != STEM_CODE)] = THING
    codes = [code for code in np.unique(image.anther_map) if code]
    for code, anther in zip(codes, image.truth.anthers, strict=True):
        if anther.stage is not None:
            classes[image.anther_map == code] = ANTHER_CLASS[anther.stage]
    return classes


def _name(seed: int) -> str:
    return f"flat_{seed:07d}"
