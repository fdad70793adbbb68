"""Seed set, selfing in control spikes, selfed seed among tested seed."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from spikecheck.outcomes.clusters import Cluster
from spikecheck.outcomes.groups import By, group_of
from spikecheck.outcomes.rates import Measure, Rate, rates_of
from spikecheck.vocabulary.steps import THIRDS
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from spikecheck.vocabulary import SpikeRecord


def seed_set(spikes: Iterable[SpikeRecord], by: By = By.ALL) -> tuple[Rate, ...]:
    """Return seeds set per floret of pollinated, threshed spikes, a row a group.

    Parameters
    ----------
    spikes
        Any spikes; control spikes and those not threshed are passed over.
    by
        What makes a group; with :attr:`By.THIRD` only spikes counted by thirds are in.

    Returns
    -------
    tuple of Rate
        In the order in which groups appear, thirds from the base; empty without a count.
    """
    return _rates(Measure.SEED_SET, spikes, by, _is_crossed)


def selfing_in_controls(spikes: Iterable[SpikeRecord], by: By = By.ALL) -> tuple[Rate, ...]:
    """Return seeds per floret of control spikes: emasculated, bagged, never pollinated.

    Every such seed comes from the spike's own pollen, or through a leaking bag. Parameters and
    result as in :func:`seed_set`.
    """
    return _rates(Measure.SELFING, spikes, by, _is_control)


def selfed_seed(spikes: Iterable[SpikeRecord], by: By = By.ALL) -> tuple[Rate, ...]:
    """Return selfed seeds among tested F1 seeds of pollinated spikes.

    Parameters and result as in :func:`seed_set`; tested seed is not told apart by thirds.
    """
    groups: dict[str, list[Cluster]] = defaultdict(list)
    for one in spikes if by is not By.THIRD else ():
        if not one.control and one.tested and one.selfed is not None:
            groups[group_of(one, by)].append(Cluster(one.selfed, one.tested))
    return rates_of(Measure.SELFED_SEED, groups)


def passed_with_selfing(spikes: Iterable[SpikeRecord]) -> Rate | None:
    """Return how many spikes that the check passed gave selfed seed all the same.

    Counted are spikes whose latest check said pass by itself, whatever a person made of it, and of
    which it is known: control spikes that were threshed, and others whose seed was tested. One
    selfed seed or more is an event; spikes stand for themselves, so that the exact interval holds.
    """
    clusters = [
        Cluster(int(selfed), 1)
        for one in spikes
        if one.computed_verdict is Verdict.PASS and (selfed := _gave_selfed(one)) is not None
    ]
    return next(iter(rates_of(Measure.PASSED_WITH_SELFING, {"": clusters})), None)


def neither_crossed_nor_control(spikes: Iterable[SpikeRecord]) -> tuple[SpikeRecord, ...]:
    """Return threshed spikes that no rate counts: without pollination and not kept as control."""
    return tuple(
        one for one in spikes
        if one.seed_florets and not _is_crossed(one) and not _is_control(one)
    )  # fmt: skip


def clusters_of(spikes: Iterable[SpikeRecord], *, controls: bool) -> tuple[Cluster, ...]:
    """Return seeds of florets, spike by spike, of control or of pollinated spikes."""
    wanted = _is_control if controls else _is_crossed
    return tuple(
        Cluster(one.seeds, one.seed_florets)
        for one in spikes
        if wanted(one) and one.seeds is not None and one.seed_florets
    )


def _is_crossed(one: SpikeRecord) -> bool:
    return one.pollinated_at is not None and not one.control


def _is_control(one: SpikeRecord) -> bool:
    return one.control and one.pollinated_at is None


def _gave_selfed(one: SpikeRecord) -> bool | None:
    if _is_control(one):
        return None if one.seeds is None else one.seeds > 0
    return None if one.selfed is None else one.selfed > 0


def _rates(
    measure: Measure,
    spikes: Iterable[SpikeRecord],
    by: By,
    wanted: Callable[[SpikeRecord], bool],
) -> tuple[Rate, ...]:
    groups: dict[str, list[Cluster]] = defaultdict(list)
    for one in spikes:
        if wanted(one):
            for name, cluster in _counts(one, by):
                groups[name].append(cluster)
    return rates_of(measure, groups)


def _counts(one: SpikeRecord, by: By) -> Iterator[tuple[str, Cluster]]:
    if by is By.THIRD:
        for name, third in zip(THIRDS, one.thirds or (), strict=False):
            yield name, Cluster(third.seeds, third.florets)
    elif one.seeds is not None and one.seed_florets:
        yield group_of(one, by), Cluster(one.seeds, one.seed_florets)
