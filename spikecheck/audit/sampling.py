"""How many spikes to look at again: single sampling plans for a small lot.

The lot is what one session bagged. Spikes are drawn without replacement, so the number of bad ones
in the sample is hypergeometric (operating characteristic of type A): it speaks of this session, not
of the process it came from.

References
----------
ISO 3534-2:2006, Vocabulary and symbols, Applied statistics (type A; from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

from spikecheck.errors import UsageError
from spikecheck.language import _
from spikecheck.thresholds.audit import load_audit

# A probability that is a risk exactly, such as 1 in 10, must not come out a rounding above it.
_ROUNDING = 1e-12


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
                _("a sample of {sample} cannot be drawn from {lot} spikes").format(
                    sample=self.sample, lot=self.lot
                ),
                cure=_("Draw 1 spike or more, and no more than there are"),
            )
        if not 0 <= self.accept < self.sample:
            raise UsageError(
                _("a sample of {sample} cannot pass with {accept} bad ones at most").format(
                    sample=self.sample, accept=self.accept
                ),
                cure=_("Let it pass with 0 bad ones or more, but not with all of them bad"),
            )


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
        while hypergeom.cdf(accept, lot, consumer_bad, sample) > consumer_risk + _ROUNDING:
            sample += 1
        passes = hypergeom.cdf(accept, lot, producer_bad, sample)
        if accept == producer_bad or passes >= 1 - producer_risk - _ROUNDING:
            return SamplingPlan(lot, sample, accept)
        accept += 1


def most_bad(lot: int, sample: int, found: int, confidence: float | None = None) -> int:
    """Return how many spikes of the lot may be bad, the upper limit of a one-sided interval.

    The largest number with which so few bad ones would still be found with a probability
    above ``1 - confidence``; exact, by the hypergeometric distribution.

    Parameters
    ----------
    lot, sample
        Spikes in the lot, and those looked at, 1 to all.
    found
        Bad ones among those looked at.
    confidence
        One-sided level; the shipped one if None.

    Raises
    ------
    UsageError
        If a number or the level is out of range.
    """
    from scipy.stats import hypergeom

    level = load_audit().confidence if confidence is None else confidence
    _check_risk(level)
    if not 1 <= sample <= lot:
        raise UsageError(
            _("a sample of {sample} cannot be drawn from {lot} spikes").format(
                sample=sample, lot=lot
            )
        )
    _check_bad(found, sample)
    # As many can be bad at most as the good ones of the sample leave.
    bad = found
    while bad < lot - (sample - found) and hypergeom.cdf(found, lot, bad + 1, sample) > 1 - level:
        bad += 1
    return bad


def _probability(value: float) -> float:
    # Sums of probabilities end a rounding above 1.
    return min(float(value), 1.0)


def _check_bad(bad: int, most: int) -> None:
    """Refuse a number of bad spikes that is not in ``0..most``."""
    if not 0 <= bad <= most:
        raise UsageError(
            _("{bad} bad spikes cannot be").format(bad=bad),
            cure=_("Give 0 to {most}").format(most=most),
        )


def _check_risk(risk: float) -> None:
    if not 0 < risk < 1:
        raise UsageError(
            _("a risk lies between 0 and 1, got {risk}").format(risk=risk),
            cure=_("Give one such as 0.1"),
        )
