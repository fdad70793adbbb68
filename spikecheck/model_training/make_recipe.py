"""What a recipe of both networks says: seeds, counts, minutes."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from spikecheck.synthetic.solid.order import SHARES, drawn_state

if TYPE_CHECKING:
    from collections.abc import Mapping

TRAINING, TUNING = "training", "tuning"
CALIBRATION, REPORTING = "calibration", "reporting"
TASKS = ("florets", "overview")
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
    littered_batches
        With ``plenty``: the photos of so many of the batches are strewn with look-alikes as well;
        of all when None.
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
    littered_batches: int | None = None
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
class Further:
    """One more go of fitting, on plants that the networks have not seen.

    Parameters
    ----------
    name
        Of its set among the recipe's, such as ``"further_1"``.
    fit
        By task, of the networks that go on.
    """

    name: str
    fit: Mapping[str, FitRecipe]

    def scaled(self, scale: float) -> Further:
        """Return the same for a dry run."""
        return replace(self, fit={task: one.scaled(scale) for task, one in self.fit.items()})


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
        What networks go on with after that, one go after the other.
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
    further: tuple[Further, ...]
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
            further=tuple(one.scaled(scale) for one in self.further),
            studies=replace(
                studies,
                fit={task: one.scaled(scale) for task, one in studies.fit.items()},
                calibration_photos=fewer(studies.calibration_photos),
                reporting_photos=fewer(studies.reporting_photos),
            ),
        )


def fitted_on(recipe: Recipe) -> tuple[str, ...]:
    """Return the names of the sets that networks are fitted on, the first one first."""
    return TRAINING, *(go.name for go in recipe.further)
