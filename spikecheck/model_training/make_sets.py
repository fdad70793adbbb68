"""What is to be done to make the photos of one set of a recipe."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.model_training.make_job import WORKERS, Job, Use
from spikecheck.model_training.make_recipe import TUNING, Recipe, fitted_on
from spikecheck.synthetic.solid.order import SHARES

if TYPE_CHECKING:
    from spikecheck.model_training.make_machine import Machine
    from spikecheck.model_training.make_recipe import SetRecipe

_RENDER, _COMPOSE = "spikecheck.synthetic.solid", "spikecheck.synthetic.compose"
_PACK = "spikecheck.model_training.pack"
_SOME_LEFT_OUT = 3  # exit code of rendering when a render failed twice


def batch_names(name: str, one: SetRecipe) -> list[str]:
    """Return the names of a set's batches."""
    if one.batches == 1:
        return [name]
    return [f"{name}_{number}" for number in range(1, one.batches + 1)]


def faulty_sets(name: str, one: SetRecipe) -> tuple[str, ...]:
    """Return the names of what is composed once more with faults."""
    return tuple(f"{name}_faulty_{number}" for number in range(1, one.faulty_batches + 1))


def set_jobs(name: str, recipe: Recipe, machine: Machine) -> list[Job]:
    """Return all that makes a set, batch by batch, packed where networks are fitted on it."""
    one, jobs = recipe.sets[name], []
    with_faults = dict(zip(batch_names(name, one), faulty_sets(name, one), strict=False))
    littered = one.batches if one.littered_batches is None else one.littered_batches
    fitted = name in fitted_on(recipe)
    batches = zip(batch_names(name, one), one.ranges(), strict=True)
    for number, (batch, (first, end)) in enumerate(batches, 1):
        layers = one.layers / one.batches
        photos = round(layers * one.photos_per_layer)
        size = () if recipe.long_side_px is None else ("--long-side", str(recipe.long_side_px))
        plenty = ("--plenty",) if one.plenty else ()
        shows = () if set(one.shows) == set(SHARES) else ("--shows", *one.shows)
        jobs += [
            Job(
                f"render_{batch}", "render",
                (_RENDER, f"layers/{batch}", "--seeds", f"{first}:{end}",
                 "--samples", str(recipe.samples), *size, *shows, *plenty),
                Use.RENDER, (), f"layers/{batch}/manifest.json", machine.rendering(round(layers)),
                clears=(f"layers/{batch}",),
                how=("--gpus", "{gpus}", "--workers", "{renderers}"), tolerated=(_SOME_LEFT_OUT,),
            ),
            compose_job(
                f"compose_{batch}", "compose", batch, f"photos/{batch}", one=one,
                machine=machine, options=_mixed(one, littered=number <= littered),
            ),
        ]  # fmt: skip
        if fitted or name == TUNING:
            jobs.append(pack_job(batch, "pack", (f"compose_{batch}",), photos, machine))
        # right after its batch: so both networks have all they need at about the same time
        if batch in with_faults:
            faulty = with_faults[batch]
            jobs.append(compose_job(
                f"compose_{faulty}", "compose", batch, f"photos/{faulty}", one=one,
                machine=machine, options=("--faulty",), seed=one.seed + 1,
            ))  # fmt: skip
            if fitted:
                jobs.append(pack_job(faulty, "pack", (f"compose_{faulty}",), photos, machine))
    return jobs


def _mixed(one: SetRecipe, *, littered: bool) -> tuple[str, ...]:
    """Return how a batch of a set is mixed, for composing."""
    if one.plenty and littered:
        return ("--littered",)
    return () if one.faults else ("--good",)


def compose_job(
    name: str, stage: str, batch: str, photos: str, *, one: SetRecipe, machine: Machine,
    options: tuple[str, ...], seed: int | None = None,
) -> Job:  # fmt: skip
    """Return the job that makes photos of a batch of layers; ``seed`` when not the set's own."""
    count = round(one.layers / one.batches * one.photos_per_layer)
    command = (
        _COMPOSE, f"layers/{batch}", photos, "--seed", str(one.seed if seed is None else seed),
        "--per-layer", str(one.photos_per_layer), *options,
    )  # fmt: skip
    return Job(
        name, stage, command, Use.CORES, (f"render_{batch}",), f"{photos}/manifest.json",
        machine.composing(count), clears=(photos,), how=WORKERS,
    )  # fmt: skip


def pack_job(place: str, stage: str, needs: tuple[str, ...], photos: int, machine: Machine) -> Job:
    """Return the job that packs ``photos/<place>`` for fitting: at once, since fits wait for it."""
    folder = f"photos/{place}"
    return Job(
        f"pack_{place}", stage, (_PACK, folder, f"{folder}/packed"), Use.LITTLE, needs,
        f"{folder}/packed/photos.json", 6 + 0.3 * photos / machine.workers,
        clears=(f"{folder}/packed",), how=WORKERS,
    )  # fmt: skip
