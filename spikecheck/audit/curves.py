"""Curves of a sampling plan, ready to be drawn: acceptance, outgoing quality, total inspection.

References
----------
NIST/SEMATECH e-Handbook of Statistical Methods, 6.2.3.2 (average outgoing quality, average total
inspection).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.audit.sampling import acceptance, check_bad, process_acceptance

if TYPE_CHECKING:
    from collections.abc import Iterable

    from spikecheck.audit.sampling import SamplingPlan


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


def lot_curve(plan: SamplingPlan, most_bad: int | None = None) -> tuple[CurvePoint, ...]:
    """Return the curves of type A at 0, 1, … bad spikes, up to ``most_bad`` or the whole lot.

    Raises
    ------
    UsageError
        If the lot cannot hold ``most_bad``.
    """
    from scipy.stats import hypergeom

    last = plan.lot if most_bad is None else most_bad
    check_bad(last, plan.lot)
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


def _point(plan: SamplingPlan, share: float, accepted: float, outgoing: float) -> CurvePoint:
    inspected = plan.sample + (1 - accepted) * (plan.lot - plan.sample)
    return CurvePoint(share, accepted, outgoing, inspected)
