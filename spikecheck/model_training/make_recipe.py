"""The recipe of both networks, ``models/recipe.toml``: seeds, counts, minutes."""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from spikecheck.errors import TrainingError
from spikecheck.synthetic.solid.order import SHARES, drawn_state

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

SCHEMA = "spikecheck.recipe/1"
TRAINING, FURTHER, TUNING = "training", "further", "tuning"
CALIBRATION, REPORTING = "calibration", "reporting"
TASKS = ("florets", "overview")
_SEEDS = {  # no set may see what another is judged by
    TUNING: range(1000), TRAINING: range(100_000, 110_000), FURTHER: range(110_000, 200_000),
    CALIBRATION: range(200_000, 300_000), REPORTING: range(300_000, 1_000_000),
}  # fmt: skip
_LEAST_LAYERS, _LEAST_MINUTES, _LEAST_STEPS = 4, 0.05, 4


@dataclass(frozen=True, slots=True)
class SetRecipe:
    """One set of photos.

    Parameters
    ----------
    seed
        Of the first layer.
    layers, photos_per_layer
        How many.
    batches
        In how many parts it is rendered.
    shows
        What its seeds stand for; others are left out.
    faults
        Whether some photos have a fault.
    plenty
        Whether many anthers are left where some are, and many look-alikes lie on every spike: for
        fitting only.
    faulty_batches
        So many of the batches are composed once more, every photo with a fault: for fitting and
        tuning the overview network, which is to tell them.
    """

    seed: int
    layers: int
    photos_per_layer: int
    batches: int = 1
    shows: tuple[str, ...] = tuple(SHARES)
    faults: bool = True
    plenty: bool = False
    faulty_batches: int = 0

    def ranges(self) -> list[tuple[int, int]]:
        """Return first and last seed plus one of each batch."""
        bounds, seed = [self.seed], self.seed
        for batch in range(self.batches):
            wanted = self.layers * (batch + 1) // self.batches - self.layers * batch // self.batches
            while wanted:
                wanted -= drawn_state(seed) in self.shows
                seed += 1
            bounds.append(seed)
        return list(pairwise(bounds))


@dataclass(frozen=True, slots=True)
class FitRecipe:
    """How long a network is fitted: minutes, or steps where they are given.

    Parameters
    ----------
    minutes, steps
        One of the two is None.
    batch
        Crops a step; the task's own when None.
    """

    minutes: float | None = None
    steps: int | None = None
    batch: int | None = None

    def scaled(self, scale: float) -> FitRecipe:
        """Return the same for a dry run."""
        return FitRecipe(
            None if self.minutes is None else max(_LEAST_MINUTES, self.minutes * scale),
            None if self.steps is None else max(_LEAST_STEPS, round(self.steps * scale)),
            self.batch,
        )


@dataclass(frozen=True, slots=True)
class Studies:
    """What is compared with what.

    Parameters
    ----------
    fit
        How long each task's networks are fitted.
    calibration_photos, reporting_photos
        Counts.
    families
        ``(kind, family)`` that are left out in turn.
    family_share
        Of the training set, for the networks that never see a family.
    shares
        Of the training set, for the learning curve; the last is 1.
    tasks
        By study, the networks that are fitted anew; others stay.
    """

    fit: Mapping[str, FitRecipe]
    calibration_photos: int
    reporting_photos: int
    families: tuple[tuple[str, str], ...]
    family_share: float
    shares: tuple[float, ...]
    tasks: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Recipe:
    """How both networks are made.

    Parameters
    ----------
    version
        Of both networks.
    seed
        Of fitting.
    samples, long_side_px
        Of rendering.
    reported_on
        What cards call the reporting set.
    sets, fit
        By name of the set, and of the task.
    further
        By task, of networks that are fitted further on the set of that name.
    studies
        What is compared.
    """

    version: str
    seed: int
    samples: int
    long_side_px: int | None
    reported_on: str
    sets: Mapping[str, SetRecipe]
    fit: Mapping[str, FitRecipe]
    further: Mapping[str, FitRecipe]
    studies: Studies

    def scaled(self, scale: float) -> Recipe:
        """Return a recipe with all counts and times times ``scale``, for a dry run."""
        if scale == 1:
            return self

        def fewer(count: int) -> int:
            return min(count, max(_LEAST_LAYERS, math.ceil(count * scale)))

        studies = self.studies
        return replace(
            self,
            sets={n: replace(one, layers=fewer(one.layers)) for n, one in self.sets.items()},
            fit={task: one.scaled(scale) for task, one in self.fit.items()},
            further={task: one.scaled(scale) for task, one in self.further.items()},
            studies=replace(
                studies,
                fit={task: one.scaled(scale) for task, one in studies.fit.items()},
                calibration_photos=fewer(studies.calibration_photos),
                reporting_photos=fewer(studies.reporting_photos),
            ),
        )


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
        if one.plenty and name not in (TRAINING, FURTHER):
            raise TrainingError(
                f"the {name} set has more leftovers than spikes have", where=str(path),
                cure="Leave out plenty: only sets that networks are fitted on may have it",
            )  # fmt: skip
        if first not in _SEEDS[name] or end - 1 not in _SEEDS[name]:
            allowed = _SEEDS[name]
            raise TrainingError(
                f"the seeds {first} to {end - 1} of the {name} set may belong to another",
                where=str(path), cure=f"Take seeds from {allowed.start} to {allowed.stop - 1}",
            )  # fmt: skip
    return recipe


def _recipe(entry: Mapping[str, Any]) -> Recipe:
    if entry["schema"] != SCHEMA:
        raise ValueError(f"schema {entry['schema']!r} is not {SCHEMA!r}")
    studies, further = entry["studies"], entry.get("further", {})
    if (FURTHER in entry["sets"]) != bool(further) or not set(further) <= set(TASKS):
        raise ValueError("[sets.further] and [further.TASK] go together")
    return Recipe(
        version=entry["version"], seed=entry["seed"], samples=entry["samples"],
        long_side_px=entry.get("long_side_px"), reported_on=entry["reported_on"],
        sets={
            name: _set(entry["sets"][name]) for name in _SEEDS if name != FURTHER or further
        },
        fit={task: FitRecipe(**entry["fit"][task]) for task in TASKS},
        further={task: FitRecipe(**one) for task, one in further.items()},
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
    if not 0 <= one.faulty_batches <= one.batches:
        raise ValueError(f"faulty_batches is 0 to {one.batches}")
    return one


def _family(text: str) -> tuple[str, str]:
    kind, _, family = text.partition(":")
    if not kind or not family:
        raise ValueError(f"{text!r} is no KIND:FAMILY")
    return kind, family
