"""What is counted, and the rows that tables show of it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.intervals import clopper_pearson_interval
from spikecheck.outcomes.clusters import (
    by_cluster_interval,
    clustering_of,
    varies_more_than_chance,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from spikecheck.outcomes.clusters import Cluster, Clustering


class Measure(StrEnum):
    """What a rate is of; the value is its name in tables."""

    SEED_SET = "seed set"
    SELFING = "selfing in control spikes"
    SELFED_SEED = "selfed among tested seed"
    PASSED_WITH_SELFING = "passed spikes with selfed seed"


@dataclass(frozen=True, slots=True)
class Rate:
    """So many of so many, with intervals of 95 %.

    Parameters
    ----------
    measure
        What is counted.
    name
        The group it is counted in: a cross, a technician, a method; empty for all.
    spikes
        Spikes it comes from.
    events, trials, share
        Counts, ``0 <= events <= trials``, ``trials >= 1``, and their quotient.
    low, high
        The interval to show: by spike for seed set where that can be told, exact otherwise.
    exact_low, exact_high
        Clopper and Pearson's, as if every floret, seed or spike stood for itself.
    by_spike_low, by_spike_high
        Korn and Graubard's, which knows that florets of one spike are alike; None where no group
        has two spikes to tell it from.
    design_effect
        How many times more shares vary than with independent trials, 1 or more, the same for all
        groups of a table; None where it cannot be told.
    varies
        Whether spikes differ more than chance explains; None where that cannot be tested.
    """

    measure: Measure
    name: str
    spikes: int
    events: int
    trials: int
    share: float
    low: float
    high: float
    exact_low: float
    exact_high: float
    by_spike_low: float | None
    by_spike_high: float | None
    design_effect: float | None
    varies: bool | None


def rates_of(measure: Measure, groups: Mapping[str, Sequence[Cluster]]) -> tuple[Rate, ...]:
    """Return the rate of each group of spikes' counts; a group without trials has none."""
    counted = {
        name: several
        for name, clusters in groups.items()
        if (several := tuple(one for one in clusters if one.trials))
    }
    clustering = clustering_of(counted.values())
    return tuple(_rate(measure, name, several, clustering) for name, several in counted.items())


def _rate(
    measure: Measure, name: str, counted: tuple[Cluster, ...], clustering: Clustering | None
) -> Rate:  # fmt: skip
    events = sum(one.events for one in counted)
    trials = sum(one.trials for one in counted)
    exact = clopper_pearson_interval(events, trials)
    by_spike = by_cluster_interval(counted, clustering) if clustering else None
    shown = by_spike if measure is Measure.SEED_SET and by_spike else exact
    return Rate(
        measure,
        name,
        spikes=len(counted),
        events=events,
        trials=trials,
        share=events / trials,
        low=shown[0],
        high=shown[1],
        exact_low=exact[0],
        exact_high=exact[1],
        by_spike_low=by_spike[0] if by_spike else None,
        by_spike_high=by_spike[1] if by_spike else None,
        design_effect=clustering.design_effect if clustering else None,
        varies=varies_more_than_chance(counted),
    )
