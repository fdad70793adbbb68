"""Florets of one spike share a hand, a day and a bag: shares whose trials come in clusters.

References
----------
Rao JNK, Scott AJ (1992). A simple method for the analysis of clustered binary data.
Biometrics 48:577-585. (Variance of the share, design effect, effective counts.)

Korn EL, Graubard BI (1998). Confidence intervals for proportions with small expected number of
positive counts estimated from survey data. Survey Methodology 24:193-201. (The interval.)

Davison AC, Hinkley DV (1997). Bootstrap Methods and their Application, chapter 4. Cambridge
University Press. (Monte Carlo tests.)
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError

if TYPE_CHECKING:
    from collections.abc import Iterable

# The usual level of a test (convention); it only decides whether a sentence is added.
SIGNIFICANT = 0.05
_SHUFFLES = 1999
_SEED = 20260501


@dataclass(frozen=True, slots=True)
class Cluster:
    """So many events of so many trials in one spike, ``0 <= events <= trials``."""

    events: int
    trials: int

    def __post_init__(self) -> None:
        if not 0 <= self.events <= self.trials:
            raise UsageError(f"{self.events} events cannot come from {self.trials} trials")


@dataclass(frozen=True, slots=True)
class Clustering:
    """How much clusters add to the variation of a share.

    Parameters
    ----------
    design_effect
        How many times more the share varies than with independent trials, 1 or more.
    degrees
        Degrees of freedom it was estimated with: clusters less groups.
    """

    design_effect: float
    degrees: int


def clustering_of(groups: Iterable[tuple[Cluster, ...]]) -> Clustering | None:
    """Return the clustering that groups of clusters have in common, None if it cannot be told.

    In one group it is the variance of the ratio estimator, ``k / (k - 1) * sum((x - p n)**2) /
    N**2``, by ``p (1 - p) / N``. Of several groups, each with a share of its own, numerators and
    denominators are added up: a cross has two or three spikes, too few to tell it of that cross
    alone. Less than 1 counts as 1, so that no interval becomes narrower than the exact one. Groups
    of one cluster, without an event or with nothing but events tell nothing.
    """
    between = within = 0.0
    degrees = 0
    for clusters in groups:
        k = len(clusters)
        events, total = _sums(clusters)
        if k < 2 or not 0 < events < total:  # noqa: PLR2004  (one cluster shows no variation)
            continue
        share = events / total
        squares = sum((one.events - share * one.trials) ** 2 for one in clusters)
        between += k / (k - 1) * squares
        within += total * share * (1 - share)
        degrees += k - 1
    return Clustering(max(1.0, between / within), degrees) if degrees else None


def by_cluster_interval(
    clusters: tuple[Cluster, ...], clustering: Clustering, confidence: float = 0.95
) -> tuple[float, float]:
    """Return the interval of Korn and Graubard of the share.

    It is the interval of Clopper and Pearson for the effective number of trials: fewer by the
    design effect and, by quantiles of Student's t, for the few clusters it was estimated from.
    """
    from scipy.stats import beta, t

    events, total = _sums(clusters)
    tail = (1 - confidence) / 2
    few = (t.isf(tail, max(1, total - 1)) / t.isf(tail, clustering.degrees)) ** 2
    effective = min(total, total / clustering.design_effect * few)
    hits = events / total * effective
    low = beta.ppf(tail, hits, effective - hits + 1) if events else 0.0
    high = beta.isf(tail, hits + 1, effective - hits) if events < total else 1.0
    return float(low), float(high)


def varies_more_than_chance(clusters: tuple[Cluster, ...]) -> bool | None:
    """Return whether the clusters differ more than a common share explains, None if untestable.

    The events are dealt again to the trials at random, 1999 times; the clusters differ if at most
    5 % of the deals differ as much (Pearson's chi-square, given both margins). Small counts and
    rare events make this no less exact.
    """
    import numpy as np

    filled = [one for one in clusters if one.trials]
    events = sum(one.events for one in filled)
    trials = np.array([one.trials for one in filled], dtype=np.int64)
    if len(filled) < 2 or not 0 < events < trials.sum():  # noqa: PLR2004
        return None
    seen = np.array([one.events for one in filled])
    deals = np.random.default_rng(_SEED).multivariate_hypergeometric(
        trials, events, size=_SHUFFLES, method="marginals"
    )
    as_much = (deals**2 / trials).sum(axis=1) >= (seen**2 / trials).sum() * (1 - 1e-12)
    return bool((1 + as_much.sum()) / (1 + _SHUFFLES) <= SIGNIFICANT)


def _sums(clusters: tuple[Cluster, ...]) -> tuple[int, int]:
    return sum(one.events for one in clusters), sum(one.trials for one in clusters)
