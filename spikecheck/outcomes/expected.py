"""The expected share of selfed seed in a cross, from control spikes beside it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.outcomes.clusters import Cluster, clustering_of
from spikecheck.outcomes.ratio import ratio_interval
from spikecheck.outcomes.seed import clusters_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from spikecheck.vocabulary import SpikeRecord


@dataclass(frozen=True, slots=True)
class ExpectedShare:
    """Selfed seeds per control floret divided by seeds per cross floret.

    It is an upper bound rather than an estimate: in control florets no foreign pollen competes
    with the spike's own.

    Parameters
    ----------
    control_seeds, control_florets, control_spikes
        Counts of control spikes.
    cross_seeds, cross_florets, cross_spikes
        Counts of pollinated spikes.
    share, low, high
        The quotient with its interval of 95 %, each 1 at most: a share cannot be more.
    """

    control_seeds: int
    control_florets: int
    control_spikes: int
    cross_seeds: int
    cross_florets: int
    cross_spikes: int
    share: float
    low: float
    high: float


def expected_selfed_share(spikes: Iterable[SpikeRecord]) -> ExpectedShare | None:
    """Return the expected share of selfed seed, or None without control or without cross seed.

    The interval is Koopman's score interval of a ratio of shares
    (:func:`~spikecheck.outcomes.ratio.ratio_interval`) for effective counts: counts divided by the
    design effect of their spikes, as Rao and Scott (1992) have it.

    Parameters
    ----------
    spikes
        Control and pollinated spikes that belong together: of a cross, a session, a technician.
    """
    several = tuple(spikes)
    controls = clusters_of(several, controls=True)
    crossed = clusters_of(several, controls=False)
    seeds, florets, _ = _sums(controls)
    cross_seeds, cross_florets, _ = _sums(crossed)
    if not florets or not cross_seeds:
        return None
    less, cross_less = _design_effect(controls), _design_effect(crossed)
    low, high = ratio_interval(
        seeds / less, florets / less, cross_seeds / cross_less, cross_florets / cross_less
    )
    share = seeds / florets / (cross_seeds / cross_florets)
    return ExpectedShare(
        *_sums(controls), *_sums(crossed), min(share, 1.0), min(low, 1.0), min(high, 1.0)
    )


def _sums(clusters: tuple[Cluster, ...]) -> tuple[int, int, int]:
    events = sum(one.events for one in clusters)
    return events, sum(one.trials for one in clusters), len(clusters)


def _design_effect(clusters: tuple[Cluster, ...]) -> float:
    clustering = clustering_of([clusters])
    return clustering.design_effect if clustering else 1.0
