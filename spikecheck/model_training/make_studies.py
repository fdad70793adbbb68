"""What is to be done to see what the networks owe to what: families, photos, realism."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.errors import TrainingError
from spikecheck.model_training.make_job import WORKERS, Job, Use
from spikecheck.model_training.make_jobs import (
    RESULTS,
    export_job,
    fit_command,
    fit_job,
    judging_jobs,
    training_packs,
)
from spikecheck.model_training.make_recipe import (
    CALIBRATION,
    REPORTING,
    TASKS,
    TRAINING,
    TUNING,
    Recipe,
)
from spikecheck.model_training.make_sets import compose_job, pack_job

if TYPE_CHECKING:
    from spikecheck.model_training.make_machine import Machine

CARRY_OVER, CURVE, ABLATION = "carry_over", "learning_curve", "ablation"
_ROOM = "spikecheck.model_training"
_VIEWS = 400  # that strangeness is settled on: looking at them takes as long as a third of a fit
_CURVE_TITLE = "What more photos buy"


@dataclass(frozen=True, slots=True)
class _Study:
    """One network, or pair of networks, fitted for a comparison."""

    name: str
    stage: str
    places: tuple[str, ...]
    options: tuple[str, ...] = ()
    without: str | None = None

    @property
    def scores(self) -> str:
        """Where its scores go."""
        return f"{RESULTS}/studies/{self.name}.json"


def study_jobs(recipe: Recipe, machine: Machine) -> list[Job]:
    """Return all studies, after what :func:`main_jobs` makes, and the card with their tables."""
    photos = training_packs(recipe)
    some = photos[: _batches_of(recipe.studies.family_share, recipe)]
    left_out = [
        _Study(f"without_{kind}_{family}", CARRY_OVER, some,
               ("--leave-out", f"{kind}={family}"), f"{kind}={family}")
        for kind, family in recipe.studies.families
    ]  # fmt: skip
    shares = [
        _Study(f"share_{share:g}", CURVE, photos[: _batches_of(share, recipe)])
        for share in recipe.studies.shares
    ]
    # one batch is enough to compare steps of realism: each has as many photos
    realism = [
        _Study("flat", ABLATION, ("flat",)),
        _Study("bare", ABLATION, training_packs(recipe, "bare")[:1]),
    ]
    composed = _of_one_batch(shares)
    # what needs the first batches alone comes first: it is fitted while others are rendered
    jobs = _shared_links(recipe)
    jobs += _group(shares, recipe, machine)
    jobs.append(_curve_table(shares, recipe))
    jobs += _ablation_sets(recipe, machine)
    jobs += _group(realism, recipe, machine)
    jobs += _ablation_table([*realism, composed], machine, recipe)
    jobs += _group(left_out, recipe, machine)
    jobs.append(_carry_over_table(left_out, shares, recipe))
    jobs.append(_card_with_tables(recipe))
    return jobs


def _batches_of(share: float, recipe: Recipe) -> int:
    """Return how many batches a share of the training set is."""
    there = recipe.sets[TRAINING].batches
    batches = round(share * there)
    if not (1 <= batches <= there and math.isclose(batches, share * there)):
        raise TrainingError(
            f"the share {share:g} of the training set is no whole number of its batches",
            cure=f"Take multiples of 1/{there} up to 1",
        )
    return batches


def _of_one_batch(shares: list[_Study]) -> _Study:
    """Return the study of the learning curve that has as many photos as one batch."""
    for study in shares:
        if len(study.places) == 1:
            return study
    raise TrainingError(
        "the learning curve lacks the share of one batch, which the ablation is compared with",
        cure="Add it to the shares, or make as many batches as another share needs",
    )


def _group(studies: list[_Study], recipe: Recipe, machine: Machine) -> list[Job]:
    """Return all fits of a group, then what judges them: fits are not held up by judging."""
    if not studies:
        return []
    tasks = recipe.studies.tasks[studies[0].stage]
    fits = [_fit(study, task, recipe, machine) for task in tasks for study in studies]
    return [*fits, *(job for study in studies for job in _judged(study, tasks, recipe, machine))]


def _fit(study: _Study, task: str, recipe: Recipe, machine: Machine) -> Job:
    out, fit = f"runs/{study.name}_{task}", recipe.studies.fit[task]
    command = (*fit_command(task, study.places, out, fit, recipe.seed), *study.options,
               "--views", str(_VIEWS))  # fmt: skip
    return fit_job(
        f"fit_{study.name}_{task}", study.stage, command, study.places, out=out,
        seconds=machine.fitting(fit),
    )  # fmt: skip


def _judged(study: _Study, tasks: tuple[str, ...], recipe: Recipe, machine: Machine) -> list[Job]:
    folder, version = f"studies/{study.name}", recipe.version
    jobs, networks = [], []
    for task in TASKS:
        model = f"{folder}/{task}/{version}"
        if task in tasks:
            name, run = f"export_{study.name}_{task}", f"runs/{study.name}_{task}"
            fit = f"fit_{study.name}_{task}"
            jobs.append(export_job(name, study.stage, task, run=run, model=model, needs=(fit,)))
        else:
            name = f"copy_{study.name}_{task}"
            jobs.append(Job(
                name, study.stage, (f"{_ROOM}.make_copy", f"models/{task}/{version}", model),
                Use.LITTLE, ("tune",), f"{model}/model.toml", 1, clears=(model,),
            ))  # fmt: skip
        networks.append(name)
    sets, links = _sets(study, recipe)
    jobs += links
    return jobs + judging_jobs(
        f"{study.name}_", f"{folder}/florets/{version}", needs=tuple(networks), machine=machine,
        sets=sets, stages=(study.stage,) * 3, name=recipe.reported_on,
        json=study.scores,
    )  # fmt: skip


def _counts(recipe: Recipe) -> dict[str, tuple[int, int]]:
    """Return, by set, how many photos a study takes and how many there are."""
    most = {
        CALIBRATION: recipe.studies.calibration_photos, REPORTING: recipe.studies.reporting_photos,
    }  # fmt: skip
    found = {}
    for name in (TUNING, CALIBRATION, REPORTING):
        count = recipe.sets[name].layers * recipe.sets[name].photos_per_layer
        found[name] = (min(most.get(name, count), count), count)
    return found


def _shared_sets(recipe: Recipe) -> dict[str, tuple[str, int, str]]:
    """Return, by set, folder, number of photos and job of what all studies are judged on."""
    found = {}
    for name, (taken, count) in _counts(recipe).items():
        whole = (f"photos/{name}", count, f"compose_{name}")
        part = (f"photos/{name}_{taken}", taken, f"links_{name}_{taken}")
        found[name] = whole if taken == count else part
    return found


def _shared_links(recipe: Recipe) -> list[Job]:
    return [
        _links(job, "compose", name, folder, count)
        for name, (folder, count, job) in _shared_sets(recipe).items()
        if job.startswith("links_")
    ]


def _links(job: str, stage: str, name: str, folder: str, count: int, *options: str) -> Job:
    command = (f"{_ROOM}.make_copy", f"photos/{name}", folder, "--count", str(count), *options)
    return Job(job, stage, command, Use.LITTLE, (f"compose_{name}",), folder, 1, clears=(folder,))


def _sets(study: _Study, recipe: Recipe) -> tuple[dict[str, tuple[str, int, str]], list[Job]]:
    """Return the study's sets and jobs: what it never saw it is not tuned on either."""
    sets, jobs = _shared_sets(recipe), []
    if study.without is not None:
        for name in (TUNING, CALIBRATION):
            count = sets[name][1]
            folder, job = f"photos/{name}_{study.name}", f"links_{study.name}_{name}"
            sets[name] = (folder, count, job)
            jobs.append(_links(job, study.stage, name, folder, count, "--without", study.without))
    return sets, jobs


def _carry_over_table(studies: list[_Study], shares: list[_Study], recipe: Recipe) -> Job:
    named = [
        f"{kind}:{family}={study.scores}"
        for (kind, family), study in zip(recipe.studies.families, studies, strict=True)
    ]
    # one of the learning curve that was fitted on the same batches with every family in them
    beside = [share for share in shares if studies and share.places == studies[0].places][:1]
    out = f"{RESULTS}/carry_over.md"
    command = (
        f"{_ROOM}.carry_over", *named,
        *(part for share in beside for part in ("--beside", share.scores)),
        "--note", _note(CARRY_OVER, recipe), "--out", out,
    )  # fmt: skip
    needs = tuple(f"{study.name}_card" for study in [*studies, *beside])
    return Job("carry_over_table", CARRY_OVER, command, Use.LITTLE, needs, out, 1)


def _columns(
    name: str, stage: str, columns: dict[str, str], *, needs: tuple[str, ...], title: str, note: str
) -> Job:
    out = f"{RESULTS}/{name}.md"
    command = (
        f"{_ROOM}.ablation", *(f"{label}={file}" for label, file in columns.items()),
        "--title", title, "--note", note, "--out", out,
    )  # fmt: skip
    return Job(f"{name}_table", stage, command, Use.LITTLE, needs, out, 1)


def _curve_table(studies: list[_Study], recipe: Recipe) -> Job:
    one = recipe.sets[TRAINING]
    columns = {
        f"{share * one.layers * one.photos_per_layer:.0f} photos": study.scores
        for share, study in zip(recipe.studies.shares, studies, strict=True)
    }
    return _columns(
        CURVE, CURVE, columns, needs=tuple(f"{study.name}_card" for study in studies),
        title=_CURVE_TITLE, note=_note(CURVE, recipe),
    )  # fmt: skip


def _note(study: str, recipe: Recipe) -> str:
    times = []
    for task in recipe.studies.tasks[study]:
        fit = recipe.studies.fit[task]
        length = f"{fit.minutes:g} minutes" if fit.minutes is not None else f"{fit.steps} steps"
        times.append(f"{task}: {length}")
    kept = [task for task in TASKS if task not in recipe.studies.tasks[study]]
    shared = f" The {kept[0]} network is the same in all." if kept else ""
    return f"Each fitted equally long ({'; '.join(times)}).{shared}"


def _ablation_sets(recipe: Recipe, machine: Machine) -> list[Job]:
    one = recipe.sets[TRAINING]
    batch, bare = training_packs(recipe)[0], training_packs(recipe, "bare")[0]
    count = round(one.layers / one.batches * one.photos_per_layer)
    flat = Job(
        "compose_flat", ABLATION,
        ("spikecheck.synthetic.compose", "--flat", "photos/flat", "--seed", str(one.seed),
         "--count", str(count)),
        Use.CORES, (), "photos/flat/manifest.json", machine.composing(count),
        clears=("photos/flat",), how=WORKERS,
    )  # fmt: skip
    return [
        flat,
        pack_job("flat", ABLATION, (flat.name,), count, machine),
        compose_job(f"compose_{bare}", ABLATION, batch, f"photos/{bare}", one=one,
                    machine=machine, options=("--bare",)),
        pack_job(bare, ABLATION, (f"compose_{bare}",), count, machine),
    ]  # fmt: skip


def _ablation_table(studies: list[_Study], machine: Machine, recipe: Recipe) -> list[Job]:
    folder, count, made = _shared_sets(recipe)[REPORTING]
    rules = f"{RESULTS}/studies/network_free.json"
    free = Job(
        "network_free", ABLATION,
        (f"{_ROOM}.make_network_free", folder, "--json", rules), Use.LOOKING,
        (made,), rules, machine.looking(count), how=WORKERS,
    )  # fmt: skip
    labels = ("flat images", "path-traced", "path-traced and composed")
    scores = [study.scores for study in studies]
    columns = {"no network": rules, **dict(zip(labels, scores, strict=True))}
    return [
        free,
        _columns(
            ABLATION, ABLATION, columns,
            needs=(free.name, *(f"{study.name}_card" for study in studies)),
            title="What each step buys", note=_note(ABLATION, recipe),
        ),
    ]  # fmt: skip


def _card_with_tables(recipe: Recipe) -> Job:
    tables = (CARRY_OVER, CURVE, ABLATION)
    added = [part for name in tables for part in ("--add", f"{RESULTS}/{name}.md")]
    one, model = recipe.sets[REPORTING], f"models/florets/{recipe.version}"
    return Job(
        "studies_card", "studies_card",
        (f"{_ROOM}.card", f"photos/{REPORTING}", model, "--name", recipe.reported_on, *added),
        Use.LOOKING, ("card", *(f"{name}_table" for name in tables)), f"{model}/CARD.md",
        4 + 0.02 * one.layers, how=WORKERS,
    )  # fmt: skip
