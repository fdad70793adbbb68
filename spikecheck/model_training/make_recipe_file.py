"""Reads the recipe of both networks, ``models/recipe.toml``."""

from __future__ import annotations

import tomllib
from typing import TYPE_CHECKING, Any

from spikecheck.errors import TrainingError
from spikecheck.model_training.make_recipe import (
    CALIBRATION,
    REPORTING,
    TASKS,
    TRAINING,
    TUNING,
    FitRecipe,
    Further,
    Recipe,
    SetRecipe,
    Studies,
    fitted_on,
)
from spikecheck.synthetic.solid.order import SHARES

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

SCHEMA = "spikecheck.recipe/1"
_SEEDS = {  # no set may see what another is judged by
    TUNING: range(1000), TRAINING: range(100_000, 110_000),
    CALIBRATION: range(200_000, 300_000), REPORTING: range(300_000, 1_000_000),
}  # fmt: skip
_FURTHER_SEEDS = range(110_000, 200_000)


def read_recipe_file(path: Path) -> Recipe:
    """Read a recipe.

    Raises
    ------
    TrainingError
        If it cannot be read, or mixes seeds that must stay apart.
    """
    try:
        entry = tomllib.loads(path.read_text(encoding="utf-8"))
        recipe = _recipe(entry)
    except OSError as error:
        raise TrainingError(f"cannot be read ({error.strerror})", where=str(path)) from error
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise TrainingError(
            f"is no recipe ({type(error).__name__}: {error})", where=str(path),
            cure="Compare it with models/recipe.toml",
        ) from error  # fmt: skip
    for name, one in recipe.sets.items():
        first, end = one.ranges()[0][0], one.ranges()[-1][1]
        allowed = _SEEDS.get(name, _FURTHER_SEEDS)
        if one.plenty and name not in fitted_on(recipe):
            raise TrainingError(
                f"the {name} set has more leftovers than spikes have", where=str(path),
                cure="Leave out plenty: only sets that networks are fitted on may have it",
            )  # fmt: skip
        if first not in allowed or end - 1 not in allowed:
            raise TrainingError(
                f"the seeds {first} to {end - 1} of the {name} set may belong to another",
                where=str(path), cure=f"Take seeds from {allowed.start} to {allowed.stop - 1}",
            )  # fmt: skip
    return recipe


def _recipe(entry: Mapping[str, Any]) -> Recipe:
    if entry["schema"] != SCHEMA:
        raise ValueError(f"schema {entry['schema']!r} is not {SCHEMA!r}")
    studies, goes = entry["studies"], entry.get("further", [])
    further = tuple(_further(number, go) for number, go in enumerate(goes, 1))
    sets = {name: entry["sets"][name] for name in _SEEDS}
    sets |= {go.name: one["set"] for go, one in zip(further, goes, strict=True)}
    return Recipe(
        version=entry["version"], seed=entry["seed"], samples=entry["samples"],
        long_side_px=entry.get("long_side_px"), reported_on=entry["reported_on"],
        sets={name: _set(one) for name, one in sets.items()},
        fit={task: FitRecipe(**entry["fit"][task]) for task in TASKS},
        further=further,
        studies=Studies(
            fit={task: _study_fit(studies, task, entry["fit"][task]) for task in TASKS},
            calibration_photos=studies["calibration_photos"],
            reporting_photos=studies["reporting_photos"],
            families=tuple(_family(one) for one in studies["carry_over"]["families"]),
            family_share=float(studies["carry_over"]["share"]),
            shares=tuple(sorted(float(one) for one in studies["learning_curve"]["shares"])),
            tasks={
                name: tuple(studies[name]["tasks"])
                for name in ("carry_over", "ablation", "learning_curve")
            },
        ),
    )  # fmt: skip


def _further(number: int, entry: Mapping[str, Any]) -> Further:
    fit = {task: FitRecipe(**one) for task, one in entry["fit"].items()}
    if not fit or not set(fit) <= set(TASKS):
        raise ValueError(f"[further.fit.TASK] names one or more of {', '.join(TASKS)}")
    return Further(f"further_{number}", fit)


def _study_fit(studies: Mapping[str, Any], task: str, main: Mapping[str, Any]) -> FitRecipe:
    batch = main.get("batch")
    if "minutes" in studies:
        return FitRecipe(minutes=studies["minutes"][task], batch=batch)
    return FitRecipe(steps=studies["steps"][task], batch=batch)


def _set(entry: Mapping[str, Any]) -> SetRecipe:
    shows = tuple(entry.get("shows", SHARES))
    if not shows or not set(shows) <= set(SHARES):
        raise ValueError(f"shows {shows} is none of {', '.join(SHARES)}")
    one = SetRecipe(**{**entry, "shows": shows})
    if min(one.layers, one.photos_per_layer, one.batches) < 1 or one.seed < 0:
        raise ValueError("counts are 1 or more, seeds 0 or more")
    if one.plenty and not one.faults:
        raise ValueError("a set with plenty of leftovers has photos with a fault, too")
    if one.littered_batches is not None and not (
        one.plenty and 0 <= one.littered_batches <= one.batches
    ):
        raise ValueError(f"littered_batches is 0 to {one.batches}, of a set with plenty")
    if not 0 <= one.faulty_batches <= one.batches:
        raise ValueError(f"faulty_batches is 0 to {one.batches}")
    return one


def _family(text: str) -> tuple[str, str]:
    kind, _, family = text.partition(":")
    if not kind or not family:
        raise ValueError(f"{text!r} is no KIND:FAMILY")
    return kind, family
