"""What is to be done, in order, to make both networks and to study them.

Times were measured on one GPU with 16 cores and on two with 32; other machines are reckoned from
that, and only the plan depends on it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.model_training.make_job import Job, Use
from spikecheck.model_training.make_recipe import (
    CALIBRATION,
    FURTHER,
    REPORTING,
    TASKS,
    TRAINING,
    TUNING,
    FitRecipe,
    Recipe,
)
from spikecheck.synthetic.solid.order import SHARES

if TYPE_CHECKING:
    from spikecheck.model_training.make_recipe import SetRecipe

WORKERS = ("--workers", "{workers}")
RESULTS = "results"
_RENDER, _COMPOSE = "spikecheck.synthetic.solid", "spikecheck.synthetic.compose"
_ROOM = "spikecheck.model_training"
_SOME_LEFT_OUT = 3  # exit code of rendering when a render failed twice
_NO_LIMIT = 2  # exit code of a calibration with too few spikes: the scaling is there


@dataclass(frozen=True, slots=True)
class Machine:
    """What a plan is reckoned for.

    Parameters
    ----------
    gpus
        Their numbers; ``("",)`` without one.
    workers
        Cores.
    """

    gpus: tuple[str, ...]
    workers: int

    def rendering(self, layers: int) -> float:
        """Return seconds for layers: 4.8 core seconds each beside a GPU, else 20."""
        return 15 + (20 if self.gpus == ("",) else 4.8) * layers / self.workers

    def composing(self, photos: int) -> float:
        """Return seconds for photos, 3 core seconds each while the GPUs render."""
        return 8 + 3 * photos / self.workers

    def looking(self, photos: int) -> float:
        """Return seconds for photos that the networks look at, 1 core second each."""
        return 8 + photos / self.workers

    def fitting(self, fit: FitRecipe) -> float:
        """Return seconds of a fit: a recorded step takes 26 ms."""
        return 25 + (60 * fit.minutes if fit.minutes is not None else 0.026 * (fit.steps or 0))


def batch_names(name: str, one: SetRecipe) -> list[str]:
    """Return the names of a set's batches."""
    if one.batches == 1:
        return [name]
    return [f"{name}_{number}" for number in range(1, one.batches + 1)]


def faulty_sets(name: str, one: SetRecipe) -> tuple[str, ...]:
    """Return the names of what is composed once more with faults."""
    return tuple(f"{name}_faulty_{number}" for number in range(1, one.faulty_batches + 1))


def main_jobs(recipe: Recipe, machine: Machine) -> list[Job]:
    """Return all that makes both networks and their cards, the most urgent first."""
    jobs: list[Job] = []
    # the small set that fits are watched on first: none waits for it
    for name in (TUNING, TRAINING, FURTHER, CALIBRATION, REPORTING):
        if name in recipe.sets:
            jobs += _set_jobs(name, recipe, machine)
    jobs += [_fit_job(task, recipe, machine) for task in TASKS]
    jobs += [_further_job(task, recipe, machine) for task in recipe.further]
    models = {task: f"models/{task}/{recipe.version}" for task in TASKS}
    jobs += [
        export_job(
            f"export_{task}",
            "export",
            task,
            run=f"runs/{_last_run(task, recipe)}",
            model=models[task],
            needs=(f"fit_{_last_run(task, recipe)}",),
        )
        for task in TASKS
    ]
    counts = {name: one.layers * one.photos_per_layer for name, one in recipe.sets.items()}
    jobs += judging_jobs(
        "", models["florets"], needs=tuple(f"export_{task}" for task in TASKS), machine=machine,
        sets={
            name: (f"photos/{name}", counts[name], f"compose_{name}")
            for name in (TUNING, CALIBRATION, REPORTING)
        },
        stages=("tune", "calibrate", "card"), name=recipe.reported_on,
        json=f"{RESULTS}/reporting.json", faulty=faulty_sets(TUNING, recipe.sets[TUNING]),
    )  # fmt: skip
    return jobs


def _set_jobs(name: str, recipe: Recipe, machine: Machine) -> list[Job]:
    one, jobs = recipe.sets[name], []
    with_faults = dict(zip(batch_names(name, one), faulty_sets(name, one), strict=False))
    for batch, (first, end) in zip(batch_names(name, one), one.ranges(), strict=True):
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
                machine=machine, options=_mixed(one),
            ),
        ]  # fmt: skip
        if name in (TRAINING, FURTHER, TUNING):
            jobs.append(pack_job(batch, "pack", (f"compose_{batch}",), photos, machine))
        # right after its batch: so both networks have all they need at about the same time
        if batch in with_faults:
            faulty = with_faults[batch]
            jobs.append(compose_job(
                f"compose_{faulty}", "compose", batch, f"photos/{faulty}", one=one,
                machine=machine, options=("--faulty",), seed=one.seed + 1,
            ))  # fmt: skip
            if name == TRAINING:
                jobs.append(pack_job(faulty, "pack", (f"compose_{faulty}",), photos, machine))
    return jobs


def _mixed(one: SetRecipe) -> tuple[str, ...]:
    """Return how a set is mixed, for composing."""
    if one.plenty:
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
        f"pack_{place}", stage, (f"{_ROOM}.pack", folder, f"{folder}/packed"), Use.LITTLE, needs,
        f"{folder}/packed/photos.json", 6 + 0.3 * photos / machine.workers,
        clears=(f"{folder}/packed",), how=WORKERS,
    )  # fmt: skip


def training_packs(recipe: Recipe, prefix: str = TRAINING) -> tuple[str, ...]:
    """Return the names of the batches of the training set."""
    return tuple(batch_names(prefix, recipe.sets[TRAINING]))


def fit_command(
    task: str, places: tuple[str, ...], out: str, fit: FitRecipe, seed: int
) -> tuple[str, ...]:
    """Return the command that fits a network on packed sets."""
    length = ("--minutes", str(fit.minutes)) if fit.steps is None else ("--steps", str(fit.steps))
    batch = () if fit.batch is None else ("--batch", str(fit.batch))
    return (
        f"{_ROOM}.fit", task, "--sets", *(f"photos/{place}/packed" for place in places),
        "--validate", f"photos/{TUNING}/packed", "--out", out, *length, *batch, "--seed", str(seed),
    )  # fmt: skip


def fit_job(
    name: str, stage: str, command: tuple[str, ...], places: tuple[str, ...], *, out: str,
    seconds: float, after: tuple[str, ...] = (),
) -> Job:  # fmt: skip
    """Return the job of a fit on packed sets, ``after`` other jobs."""
    needs = (*(f"pack_{place}" for place in (*places, TUNING)), *after)
    return Job(
        name, stage, command, Use.GPU, needs, f"{out}/fitted.pt", seconds,
        clears=(out,), how=("--device", "{device}"),
    )  # fmt: skip


def _fit_job(task: str, recipe: Recipe, machine: Machine) -> Job:
    places, out = training_packs(recipe), f"runs/{task}"
    if task == "overview":
        places += faulty_sets(TRAINING, recipe.sets[TRAINING])
    command = fit_command(task, places, out, recipe.fit[task], recipe.seed)
    return fit_job(
        f"fit_{task}", "fit", command, places, out=out, seconds=machine.fitting(recipe.fit[task])
    )


def _further_job(task: str, recipe: Recipe, machine: Machine) -> Job:
    """Return the job that fits a network further, on plants it has not seen."""
    places, fit = tuple(batch_names(FURTHER, recipe.sets[FURTHER])), recipe.further[task]
    name = _last_run(task, recipe)
    command = (*fit_command(task, places, f"runs/{name}", fit, recipe.seed),
               "--from", f"runs/{task}")  # fmt: skip
    return fit_job(
        f"fit_{name}", "fit", command, places, out=f"runs/{name}",
        seconds=machine.fitting(fit), after=(f"fit_{task}",),
    )  # fmt: skip


def _last_run(task: str, recipe: Recipe) -> str:
    """Return the name of the run that a network is exported from."""
    return f"{task}_further" if task in recipe.further else task


def export_job(
    name: str, stage: str, task: str, *, run: str, model: str, needs: tuple[str, ...]
) -> Job:
    """Return the job that writes a finished run as a network."""
    return Job(
        name, stage, (f"{_ROOM}.export", run, model), Use.LITTLE, needs, f"{model}/model.toml",
        12 if task == "florets" else 10, clears=(model,),
    )  # fmt: skip


def judging_jobs(
    prefix: str, florets: str, *, needs: tuple[str, ...], machine: Machine,
    sets: dict[str, tuple[str, int, str]], stages: tuple[str, str, str], name: str, json: str,
    faulty: tuple[str, ...] = (),
) -> list[Job]:  # fmt: skip
    """Return the jobs that tune, calibrate and measure networks.

    Parameters
    ----------
    prefix
        Of the jobs' names.
    florets
        Folder of the florets network; the overview's lies beside it.
    needs
        Jobs that make the networks.
    machine
        For the times.
    sets
        By set: its folder, number of photos, and the job that makes it.
    stages
        Of the three jobs.
    name
        What the card calls the set.
    json
        Where the measured scores go.
    faulty
        Photos with faults that the networks are tuned on besides.
    """
    where = {set_name: folder for set_name, (folder, _, _) in sets.items()}
    manifest = f"{florets}/model.toml"
    tuned_on = (where[TUNING], *(f"photos/{place}" for place in faulty))
    tune = Job(
        f"{prefix}tune", stages[0], (f"{_ROOM}.tune_network", *tuned_on, florets), Use.LOOKING,
        (*needs, sets[TUNING][2], *(f"compose_{place}" for place in faulty)), manifest,
        machine.looking(len(tuned_on) * sets[TUNING][1]), how=WORKERS,
    )  # fmt: skip
    calibrate = Job(
        f"{prefix}calibrate", stages[1],
        (f"{_ROOM}.calibrate_network", where[CALIBRATION], florets), Use.LOOKING,
        (tune.name, sets[CALIBRATION][2]), manifest, machine.looking(sets[CALIBRATION][1]),
        how=WORKERS, tolerated=(_NO_LIMIT,),
    )  # fmt: skip
    card = Job(
        f"{prefix}card", stages[2],
        (f"{_ROOM}.card", where[REPORTING], florets, "--name", name, "--json", json), Use.LOOKING,
        (calibrate.name, sets[REPORTING][2]), json, machine.looking(sets[REPORTING][1]),
        how=WORKERS,
    )  # fmt: skip
    return [tune, calibrate, card]
