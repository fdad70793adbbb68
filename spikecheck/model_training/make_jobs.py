"""What is to be done, in order, to make both networks and to measure them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.model_training.make_job import WORKERS, Job, Use
from spikecheck.model_training.make_recipe import (
    CALIBRATION,
    REPORTING,
    TASKS,
    TRAINING,
    TUNING,
    Recipe,
    fitted_on,
)
from spikecheck.model_training.make_sets import batch_names, faulty_sets, set_jobs

if TYPE_CHECKING:
    from spikecheck.model_training.make_machine import Machine
    from spikecheck.model_training.make_recipe import FitRecipe, Further

RESULTS = "results"
_ROOM = "spikecheck.model_training"
_NO_LIMIT = 2  # exit code of a calibration with too few spikes: the scaling is there


def main_jobs(recipe: Recipe, machine: Machine) -> list[Job]:
    """Return all that makes both networks and their cards, the most urgent first."""
    jobs: list[Job] = []
    # the small set that fits are watched on first: none waits for it
    for name in (TUNING, *fitted_on(recipe), CALIBRATION, REPORTING):
        jobs += set_jobs(name, recipe, machine)
    jobs += [_fit_job(task, recipe, machine) for task in TASKS]
    last_run = {task: task for task in TASKS}
    for go in recipe.further:
        for task in go.fit:
            jobs.append(_further_job(task, go, recipe, machine, start=last_run[task]))
            last_run[task] = f"{task}_{go.name}"
    models = {task: f"models/{task}/{recipe.version}" for task in TASKS}
    jobs += [
        export_job(
            f"export_{task}",
            "export",
            task,
            run=f"runs/{last_run[task]}",
            model=models[task],
            needs=(f"fit_{last_run[task]}",),
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


def _places(task: str, name: str, recipe: Recipe) -> tuple[str, ...]:
    """Return the packs of a set that a network is fitted on: photos with a fault for the whole."""
    one = recipe.sets[name]
    faulty = faulty_sets(name, one) if task == "overview" else ()
    return *batch_names(name, one), *faulty


def _fit_job(task: str, recipe: Recipe, machine: Machine) -> Job:
    places, out, fit = _places(task, TRAINING, recipe), f"runs/{task}", recipe.fit[task]
    command = fit_command(task, places, out, fit, recipe.seed)
    return fit_job(f"fit_{task}", "fit", command, places, out=out, seconds=machine.fitting(fit))


def _further_job(task: str, go: Further, recipe: Recipe, machine: Machine, *, start: str) -> Job:
    """Return the job that fits a network further, from the run ``start`` on."""
    places, fit = _places(task, go.name, recipe), go.fit[task]
    run = f"runs/{task}_{go.name}"
    command = (*fit_command(task, places, run, fit, recipe.seed), "--from", f"runs/{start}")
    return fit_job(
        f"fit_{task}_{go.name}", "fit", command, places, out=run,
        seconds=machine.fitting(fit), after=(f"fit_{start}",),
    )  # fmt: skip


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
