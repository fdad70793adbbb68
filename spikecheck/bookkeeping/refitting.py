"""The window for pollen estimated from a programme's own seed set, and taken over."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.season.refit import reestimate, seed_sets
from spikecheck.thresholds.season import changed_numbers

if TYPE_CHECKING:
    from spikecheck.bookkeeping.season_of_store import SeasonOfStore
    from spikecheck.season.refit import Refit
    from spikecheck.thresholds.season import SeasonNumbers


def refit_of(season: SeasonOfStore, crop: str) -> Refit:
    """Return what the seed set of every threshed spike of a crop says of its window."""
    records = tuple(season.store.spikes.all())
    numbers = season.numbers(crop)
    courses = {
        place: season.measured(place, numbers)
        for place in {one.place for one in records if one.crop == crop}
    }
    return reestimate(seed_sets(records, crop=crop, courses=courses, numbers=numbers))


def take_refit(season: SeasonOfStore, crop: str, refit: Refit, *, by: str) -> SeasonNumbers:
    """Make the estimated window the one that holds for a crop, and return its numbers.

    Raises
    ------
    UsageError
        If there is no estimate, or it contradicts other numbers of the crop.
    """
    if refit.estimate is None:
        raise UsageError(refit.statement, cure="Thresh more spikes, or set the numbers by hand")
    numbers = changed_numbers(season.numbers(crop), refit.estimate.changes)
    season.store.numbers.add_all(crop, refit.estimate.changes, by=by, reason=refit.statement)
    return numbers
