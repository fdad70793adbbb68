"""Fits seed set against thermal time at pollination, or says why it cannot.

The log-odds of a floret to set seed are quadratic in the degree-days from emasculation to
pollination; spikes scatter more than florets of one spike do, which the dispersion allows for
(quasi-binomial). The highest point gives the best time.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.season.refit.binomial import fit_binomial
from spikecheck.season.refit.curve import Estimate, bends_down, edges, height, top
from spikecheck.thresholds.season import load_refit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.season.refit.binomial import BinomialFit
    from spikecheck.season.refit.seed_sets import SeedSet
    from spikecheck.thresholds.season import RefitThresholds

_COEFFICIENTS = 3


@dataclass(frozen=True, slots=True)
class RefitEstimate:
    """The window of one programme.

    Parameters
    ----------
    best
        Degree-days since emasculation at which most florets set seed.
    first, last
        Between which seed set is at least ``share_of_best`` of the highest.
    seed_set
        Highest share of florets that set seed, 0..1.
    dispersion
        How much more spikes scatter than their florets would by chance, 1 or more.
    tried
        The least and the most degree-days at which any spike was pollinated.
    share_of_best, confidence
        What the window and the intervals were asked for.
    """

    best: Estimate
    first: Estimate
    last: Estimate
    seed_set: float
    dispersion: float
    tried: tuple[float, float]
    share_of_best: float
    confidence: float

    @property
    def changes(self) -> dict[str, float]:
        """The estimate as numbers of the crop, for ``numbers_with``, in whole degree-days.

        The window ends where nothing earlier or later was tried.
        """
        changes = {}
        for name, one in (("first", self.first), ("best", self.best), ("last", self.last)):
            changes[f"receptive_{name}"] = float(max(round(self.as_tried(one)), 0))
            changes[f"receptive_{name}_spread"] = float(round((one.high - one.low) / 2))
        return changes

    def as_tried(self, one: Estimate) -> float:
        """Return a number of the window, or the end of what was tried where it lies beyond."""
        least, most = self.tried
        return min(max(one.value, least), most)


@dataclass(frozen=True, slots=True)
class Refit:
    """What own seed set says.

    Parameters
    ----------
    spikes, florets, seeds
        What it rests on.
    estimate
        The window, or None where there is too little to say.
    statement
        The same in plain words, or why there is none.
    """

    spikes: int
    florets: int
    seeds: int
    estimate: RefitEstimate | None
    statement: str


def reestimate(outcomes: Sequence[SeedSet], limits: RefitThresholds | None = None) -> Refit:
    """Return when stigmas took pollen, from a programme's own seed set.

    There is no estimate with too few spikes, pollinations too close in time, seed set that does not
    clearly fall on both sides, or a top outside of the times that were tried.

    Parameters
    ----------
    outcomes
        Of one crop.
    limits
        None takes the shipped ones.
    """
    rules = limits or load_refit()
    spikes = len(outcomes)
    florets = sum(one.florets for one in outcomes)
    seeds = sum(one.seeds for one in outcomes)

    def without(why: str) -> Refit:
        return Refit(spikes, florets, seeds, None, f"Too little to say: {why}.")

    if spikes < max(rules.spikes_least, _COEFFICIENTS + 1):
        return without(f"{spikes} spikes with known seed set, {rules.spikes_least} are needed")
    time = np.array([one.degree_days for one in outcomes])
    low, high = np.percentile(time, [10, 90])
    if high - low < rules.spread_least:
        return without(
            f"most pollinations lie within {high - low:.0f} degree-days, "
            f"{rules.spread_least:g} are needed"
        )
    fit, centre, scale = _fit(outcomes, time)
    if fit is None:
        return without("seed set does not follow a curve, all or none of it on one side")
    from scipy.stats import t

    quantile = float(t.ppf((1 + rules.confidence) / 2, spikes - _COEFFICIENTS))
    if not bends_down(fit, quantile):
        return without("seed set does not clearly fall on both sides of a best time")

    def in_degree_days(one: Estimate) -> Estimate:
        return Estimate(*(centre + scale * z for z in (one.value, one.low, one.high)))

    best = in_degree_days(top(fit, quantile))
    if not time.min() <= best.value <= time.max():
        return without(
            f"the best time, {best.value:.0f} degree-days, lies outside of what was tried"
        )
    first, last = map(in_degree_days, edges(fit, quantile, share=rules.share_of_best))
    estimate = RefitEstimate(
        best, first, last, height(fit), fit.dispersion,
        (float(time.min()), float(time.max())), rules.share_of_best, rules.confidence,
    )  # fmt: skip
    return Refit(spikes, florets, seeds, estimate, _in_words(estimate, spikes))


def _fit(
    outcomes: Sequence[SeedSet], time: NDArray[np.float64]
) -> tuple[BinomialFit | None, float, float]:
    """Fit the curve in standard units of time; return it with their origin and size."""
    centre, scale = float(time.mean()), float(time.std())
    z = (time - centre) / scale
    fit = fit_binomial(
        np.column_stack([np.ones_like(z), z, z * z]),
        np.array([one.seeds for one in outcomes], dtype=np.float64),
        np.array([one.florets for one in outcomes], dtype=np.float64),
    )
    return fit, centre, scale


def _in_words(estimate: RefitEstimate, spikes: int) -> str:
    best, (least, most) = estimate.best, estimate.tried
    first, last = map(estimate.as_tried, (estimate.first, estimate.last))
    beyond = [
        f" Nothing was tried {told} degree-days."
        for told, reached in (
            (f"before {least:.0f}", estimate.first.value < least),
            (f"after {most:.0f}", estimate.last.value > most),
        )
        if reached
    ]
    # Nothing is pollinated before it is emasculated, wherever the interval ends.
    return (
        f"From {spikes} spikes: best {best.value:.0f} degree-days after emasculation "
        f"({100 * estimate.confidence:.0f} % interval {max(best.low, 0):.0f} to {best.high:.0f}); "
        f"from {first:.0f} to {last:.0f} at least "
        f"{100 * estimate.share_of_best:.0f} % of the highest seed set, "
        f"{100 * estimate.seed_set:.0f} %.{''.join(beyond)}"
    )
