"""Makes the photos of a recipe from nothing but its seeds: renders, composes, writes the manifest.

::

    python -m spikecheck.synthetic.compose.chosen recipe.json photos --layers layers --workers 2

Photos that are there unchanged are kept. A render differs a little from run to run, so what
is made again shows the same and has the same truth, but need not be the same file byte by byte.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import cv2

from spikecheck.errors import OutputError, RenderError, SpikecheckError, UsageError
from spikecheck.synthetic.compose.chosen_recipe import ChosenPhoto, ChosenRecipe, read_chosen
from spikecheck.synthetic.compose.files import PhotoFiles, write_picture
from spikecheck.synthetic.compose.folder import composition_seed
from spikecheck.synthetic.compose.photo import ComposedPhoto, compose_photo
from spikecheck.synthetic.manifest import (
    file_matches,
    read_entries,
    sha256_of,
    write_manifest,
)
from spikecheck.synthetic.solid.crew import Crew
from spikecheck.synthetic.solid.layer_file import SUFFIX, load_layers
from spikecheck.synthetic.solid.layer_set import LayerSet, Settings, layer_name

if TYPE_CHECKING:
    from collections.abc import Sequence

_TIMEOUT_S = 300.0  # the first render of a process compiles for up to a minute


@dataclass(frozen=True, slots=True)
class Place:
    """Where the photos of a recipe are, and the layers they are made of.

    Parameters
    ----------
    photos
        Folder of the photos.
    layers
        Folder of the layers.
    """

    photos: Path
    layers: Path


def main(arguments: list[str] | None = None) -> int:
    """Make the photos; returns 0, or 2 when something is wrong with what was asked for."""
    parser = argparse.ArgumentParser(
        prog="python -m spikecheck.synthetic.compose.chosen",
        description="Render and compose the photos of a recipe.",
    )
    parser.add_argument("recipe", type=Path, help="which photos")
    parser.add_argument("out", type=Path, help="where the photos go; those there are kept")
    parser.add_argument("--layers", type=Path, required=True, help="where the renders go")
    parser.add_argument("--workers", type=int, default=1, help="processes that render (1)")
    parser.add_argument("--gpus", default="", help="GPUs the processes are spread over, as 0,1")
    options = parser.parse_args(arguments)
    gpus = tuple(filter(None, options.gpus.split(",")))
    try:
        make_chosen(
            read_chosen(options.recipe), Place(options.out, options.layers),
            workers=options.workers, gpus=gpus,
        )  # fmt: skip
    except SpikecheckError as error:
        sys.stderr.write(f"{error}\n")
        return 2
    return 0


def make_chosen(
    recipe: ChosenRecipe, place: Place, *, workers: int = 1, gpus: tuple[str, ...] = ()
) -> None:
    """Make the photos of a recipe that are not there, and the manifest of all.

    Parameters
    ----------
    recipe
        Which photos.
    place
        Where to; folders are made when missing.
    workers
        Processes that render, 1 or more.
    gpus
        GPUs they are spread over, as CUDA numbers them.

    Raises
    ------
    UsageError
        If ``workers`` is below 1, the folder of layers was rendered with other settings, or a
        layer does not show the kind that is wanted of it.
    RenderError
        If a layer could not be rendered.
    OutputError
        If a folder cannot be written to.
    """
    if workers < 1:
        raise UsageError(f"the number of workers is 1 or more, got {workers}")
    for folder in (place.photos, place.layers):
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise OutputError(
                f"cannot be made ({error.strerror})", where=str(folder),
                cure="Choose another folder",
            ) from error  # fmt: skip
    known = read_entries(place.photos)
    done = {
        photo.name: entry
        for photo in recipe.photos
        if _is_there(place.photos, photo, entry := known.get(f"{photo.name}.jpg", {}))
    }
    missing = [photo for photo in recipe.photos if photo.name not in done]
    wanted = ChosenRecipe(recipe.samples, recipe.seed, tuple(missing)).layers
    _render(place.layers, wanted, recipe.samples, workers=workers, gpus=gpus)
    for photo in missing:
        sys.stderr.write(f"{photo.name}\n")
        done[photo.name] = _written(photo, recipe, place)
    write_manifest(place.photos, [done[photo.name] for photo in recipe.photos])


def compose_chosen(photo: ChosenPhoto, recipe: ChosenRecipe, layers: Path) -> ComposedPhoto:
    """Compose one photo of a recipe out of a folder of layers."""
    spike, beside = (
        load_layers(layers / f"{layer_name(seed)}{SUFFIX}") for seed in (photo.layer, photo.beside)
    )
    seed = composition_seed(recipe.seed, photo.number)
    return compose_photo([spike, beside], seed=seed, kind=photo.kind)


def _written(photo: ChosenPhoto, recipe: ChosenRecipe, place: Place) -> dict[str, Any]:
    """Compose and write one photo; return its manifest entry."""
    cv2.setNumThreads(1)  # sums in another order would be another picture
    files = PhotoFiles(place.photos, photo.name)
    write_picture(files, compose_chosen(photo, recipe, place.layers))
    return {
        "image": files.photo.name, **photo.entry(),
        "sha256": sha256_of(files.photo.read_bytes()),
        "truth_sha256": sha256_of(files.truth.read_bytes()),
    }  # fmt: skip


def _is_there(folder: Path, photo: ChosenPhoto, entry: dict[str, Any]) -> bool:
    """Whether a photo was made by the same recipe and its files are unchanged."""
    files = PhotoFiles(folder, photo.name)
    return (
        all(entry.get(key) == value for key, value in photo.entry().items())
        and file_matches(files.photo, entry.get("sha256"))
        and file_matches(files.truth, entry.get("truth_sha256"))
    )


def _render(
    folder: Path, seeds: Sequence[int], samples: int, *, workers: int, gpus: tuple[str, ...]
) -> None:
    settings = Settings(samples=samples, long_side_px=None)
    layers = LayerSet(folder, settings)
    crew = Crew(
        folder=folder, settings=settings, variant="auto", workers=workers, gpus=gpus,
        timeout_s=_TIMEOUT_S,
    )  # fmt: skip
    failed: dict[int, str] = {}
    missing = [seed for seed in seeds if seed not in layers.entries]
    sys.stderr.write(f"{len(missing)} of {len(seeds)} layers are to be rendered\n")

    def done(entry: dict[str, Any]) -> None:
        layers.entries[int(entry["seed"])] = entry
        layers.save()

    crew.render(missing, done=done, failed=failed.__setitem__)
    if failed:
        told = "; ".join(f"{seed}: {why}" for seed, why in sorted(failed.items()))
        raise RenderError(f"layers could not be rendered ({told})", where=str(folder))


if __name__ == "__main__":
    sys.exit(main())
