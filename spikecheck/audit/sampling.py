"""How many spikes to look at again: single sampling plans for a small lot.

The lot is what one session bagged. Spikes are drawn without replacement, so the number of bad ones
in the sample is hypergeometric (operating characteristic of type A). The binomial one (type B)
stands beside it: it speaks of the process the lot came from, such as one person's work.

References
----------
ISO 3534-2:2006, Vocabulary and symbols, Applied statistics (type A and type B; from memory).
NIST/SEMATECH e-Handbook of Statistical Methods, 6.2.3.2 (average outgoing quality, average total
inspection).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True, slots=True)
class SamplingPlan:
    """Look at ``sample`` spikes of ``lot``; the lot passes with ``accept`` bad ones at most.

    Raises
    ------
    UsageError
        Unless ``1 <= sample <= lot`` and ``0 <= accept < sample``.
    """

    lot: int
    sample: int
    accept: int

    def __post_init__(self) -> None:
        if not 1 <= self.sample <= self.lot:
            raise UsageError(
                f"a sample of {self.sample} cannot be drawn from {self.lot} spikes",
                cure="Draw 1 spike or more, and no more than there are",
            )
        if not 0 <= self.accept < self.sample:
            raise UsageError(
                f"a sample of {self.sample} cannot pass with {self.accept} bad ones at most",
                cure="Let it pass with 0 bad ones or more, but not with all of them bad",
            )

    def accepts(self, bad: int) -> bool:
        """Whether the lot passes with ``bad`` bad spikes in the sample.

        Raises
        ------
        UsageError
            If the sample cannot hold so many.
        """
        if not 0 <= bad <= self.sample:
            raise UsageError(f"{bad} of {self.sample} spikes cannot be bad", cure="Count again")
        return bad <= self.accept


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """One point of the curves of a plan.

    Parameters
    ----------
    bad_share
        Share of bad spikes in the lot (type A) or of the process (type B), 0..1.
    accepted
        Probability that the lot passes, 0..1.
    outgoing_share
        Average outgoing quality: mean share of bad spikes in what goes on, where every bad one
        found is mended and a lot that fails is looked at whole, 0..1.
    inspected
        Average total inspection: mean number of spikes looked at under the same rule.
    """

    bad_share: float
    accepted: float
    outgoing_share: float
    inspected: float


def acceptance(plan: SamplingPlan, bad: int) -> float:
    """Return the probability that a lot with ``bad`` bad spikes passes (type A).

    Raises
    ------
    UsageError
        If the lot cannot hold so many.
    """
    from scipy.stats import hypergeom

    _check_bad(bad, plan.lot)
    return _probability(hypergeom.cdf(plan.accept, plan.lot, bad, plan.sample))


def process_acceptance(plan: SamplingPlan, bad_share: float) -> float:
    """Return the probability that a lot passes whose spikes are bad with ``bad_share`` (type B).

    Raises
    ------
    UsageError
        If the share is not in 0..1.
    """
    from scipy.stats import binom

    _check_share(bad_share)
    return _probability(binom.cdf(plan.accept, plan.sample, bad_share))


def process_share(plan: SamplingPlan, accepted: float) -> float:
    """Return the share of bad spikes at which a lot passes with probability ``accepted`` (type B).

    The quantile of a beta distribution, the inverse of :func:`process_acceptance`.

    Raises
    ------
    UsageError
        Unless ``0 < accepted < 1``.
    """
    from scipy.stats import beta

    _check_risk(accepted)
    return float(beta.ppf(1 - accepted, plan.accept + 1, plan.sample - plan.accept))


def lot_curve(plan: SamplingPlan, most_bad: int | None = None) -> tuple[CurvePoint, ...]:
    """Return the curves of type A at 0, 1, … bad spikes, up to ``most_bad`` or the whole lot.

    Raises
    ------
    UsageError
        If the lot cannot hold ``most_bad``.
    """
    from scipy.stats import hypergeom

    last = plan.lot if most_bad is None else most_bad
    _check_bad(last, plan.lot)
    points = []
    for bad in range(last + 1):
        # What stays bad in a lot that passes is what the sample did not hold.
        left = sum(
            float(hypergeom.pmf(found, plan.lot, bad, plan.sample)) * (bad - found)
            for found in range(min(plan.accept, bad) + 1)
        )
        points.append(_point(plan, bad / plan.lot, acceptance(plan, bad), left / plan.lot))
    return tuple(points)


def process_curve(plan: SamplingPlan, bad_shares: Iterable[float]) -> tuple[CurvePoint, ...]:
    """Return the curves of type B at the given shares of bad spikes.

    Raises
    ------
    UsageError
        If a share is not in 0..1.
    """
    unseen = (plan.lot - plan.sample) / plan.lot
    points = []
    for share in bad_shares:
        accepted = process_acceptance(plan, share)
        points.append(_point(plan, share, accepted, accepted * share * unseen))
    return tuple(points)


def smallest_plan(
    lot: int,
    *,
    consumer_bad: int,
    consumer_risk: float,
    producer_bad: int = 0,
    producer_risk: float = 0.05,
) -> SamplingPlan:
    """Return the plan with the smallest sample that keeps both risks (type A).

    Parameters
    ----------
    lot
        Spikes in the lot.
    consumer_bad, consumer_risk
        A lot with so many bad spikes shall pass with this probability at most, above 0, below 1.
    producer_bad, producer_risk
        A lot with so many, fewer than ``consumer_bad``, shall fail with this probability at most.
        As given, only a lot without a bad spike must pass, and one bad spike found fails it.

    Raises
    ------
    UsageError
        If a number or a risk is out of range.
    """
    from scipy.stats import hypergeom

    _check_bad(consumer_bad, lot)
    _check_bad(producer_bad, consumer_bad - 1)
    _check_risk(consumer_risk)
    _check_risk(producer_risk)
    accept, sample = 0, 1
    # The sample that the consumer needs grows with the accept number, so the first accept number
    # that suits the producer gives the smallest. With ``producer_bad`` it always suits.
    while True:
        while hypergeom.cdf(accept, lot, consumer_bad, sample) > consumer_risk:
            sample += 1
        passes = hypergeom.cdf(accept, lot, producer_bad, sample)
        if accept == producer_bad or passes >= 1 - producer_risk:
            return SamplingPlan(lot, sample, accept)
        accept += 1


def _point(plan: SamplingPlan, share: float, accepted: float, outgoing: float) -> CurvePoint:
    inspected = plan.sample + (1 - accepted) * (plan.lot - plan.sample)
    return CurvePoint(share, accepted, outgoing, inspected)


def _probability(value: float) -> float:
    # Sums of probabilities end a rounding above 1.
    return min(float(value), 1.0)


def _check_bad(bad: int, most: int) -> None:
    if not 0 <= bad <= most:
        raise UsageError(f"{bad} bad spikes cannot be", cure=f"Give 0 to {most}")


def _check_share(share: float) -> None:
    if not 0 <= share <= 1:
        raise UsageError(f"a share lies in 0..1, got {share}")


def _check_risk(risk: float) -> None:
    if not 0 < risk < 1:
        raise UsageError(f"a risk lies between 0 and 1, got {risk}")
