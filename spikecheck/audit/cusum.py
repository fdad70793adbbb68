"""Running sums that notice a small lasting change sooner than a control chart (CUSUM).

The tabular sum is for measured values; the likelihood sum is for bad spikes, which are rare. It
adds up how much better a worse share explains each day than the usual one, and never falls below 0.

References
----------
Page ES (1954). Continuous inspection schemes. Biometrika 41:100-115.
NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3 (tabular CUSUM).
Lorden G (1971). Procedures for reacting to a change in distribution. Annals of Mathematical
Statistics 42:1897-1908 (mean run to a false alarm, at least the exponential of the limit).
Reynolds MR, Stoumbos ZG (1999). A CUSUM chart for monitoring a proportion when inspecting
continuously. Journal of Quality Technology 31:87-108.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.audit.charts import Side
from spikecheck.audit.inspections import Count, days_of_technicians
from spikecheck.errors import UsageError
from spikecheck.language import _, number
from spikecheck.thresholds.audit import load_audit

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from spikecheck.audit.inspections import Inspection


@dataclass(frozen=True, slots=True)
class TabularPoint:
    """Both sums after one value, in the unit of the values.

    Parameters
    ----------
    value
        The value.
    high, low
        Sums of what lies above and below the target by more than the allowance, 0 or more.
    side
        Which sum is above the limit; the high one if both are.
    """

    value: float
    high: float
    low: float
    side: Side


def tabular_cusum(
    values: Iterable[float], *, target: float, allowance: float, limit: float
) -> tuple[TabularPoint, ...]:
    """Return the two-sided tabular sums of values, in order of time; they go on after an alarm.

    Parameters
    ----------
    values
        One number each, all of one unit.
    target
        What they should be.
    allowance
        What is let pass each time (``k``), half the change that matters, 0 or more.
    limit
        A sum above it is an alarm (``h``), above 0.

    Raises
    ------
    UsageError
        If a number is not finite or out of range.
    """
    if not (math.isfinite(target) and 0 <= allowance < math.inf and 0 < limit < math.inf):
        raise UsageError(_("a running sum needs a finite target, an allowance from 0 and a limit"))
    high = low = 0.0
    points = []
    for value in values:
        if not math.isfinite(value):
            raise UsageError(_("{value} is no value of a running sum").format(value=value))
        high = max(0.0, high + value - target - allowance)
        low = max(0.0, low + target - allowance - value)
        side = Side.ABOVE if high > limit else Side.BELOW if low > limit else Side.WITHIN
        points.append(TabularPoint(value, high, low, side))
    return tuple(points)


@dataclass(frozen=True, slots=True)
class LikelihoodPoint:
    """The likelihood sum after one day.

    Parameters
    ----------
    count
        Of the day.
    total
        The sum, natural logarithm of a ratio of likelihoods, 0 or more.
    alarm
        Whether it is at the limit or above.
    since
        Name of the first count since it last was 0.
    inspected, bad
        Spikes since then.
    sentence
        That in words.
    """

    count: Count
    total: float
    alarm: bool
    since: str
    inspected: int
    bad: int
    sentence: str


def worse_share(usual_share: float) -> float:
    """Return the share of bad spikes that the sum is quickest to notice, 0..1.

    Its odds are the usual ones times the shipped ratio.
    """
    odds = load_audit().worse_odds * usual_share / (1 - usual_share)
    return odds / (1 + odds)


def likelihood_limit() -> float:
    """Return the limit of the sum, so that false alarms are as rare as shipped, or rarer."""
    return math.log(load_audit().spikes_between_false_alarms)


def likelihood_cusum(counts: Sequence[Count], usual_share: float) -> tuple[LikelihoodPoint, ...]:
    """Return the running sum of one technician's bad spikes; it goes on after an alarm.

    Parameters
    ----------
    counts
        In order of time, of any size.
    usual_share
        Share of bad spikes when all is as ever, above 0, below 1.

    Raises
    ------
    UsageError
        If the share is out of range.
    """
    if not 0 < usual_share < 1:
        raise UsageError(
            _("the usual share of bad spikes lies between 0 and 1, got {usual_share}").format(
                usual_share=usual_share
            ),
            cure=_("Take an upper limit of earlier samples where none was bad"),
        )
    worse, limit = worse_share(usual_share), likelihood_limit()
    for_bad = math.log(worse / usual_share)
    for_good = math.log((1 - worse) / (1 - usual_share))
    total, since, inspected, bad = 0.0, "", 0, 0
    points = []
    for count in counts:
        if total == 0:
            since, inspected, bad = count.name, 0, 0
        inspected, bad = inspected + count.inspected, bad + count.bad
        gain = count.bad * for_bad + (count.inspected - count.bad) * for_good
        total = max(0.0, total + gain)
        alarm = total >= limit
        told = (
            _(
                "Since {since}, {bad} of {inspected} spikes were bad; {expected} were to be "
                "expected. Something has changed: look for the cause."
            )
            if alarm
            else _(
                "Since {since}, {bad} of {inspected} spikes were bad; {expected} were to be "
                "expected. No sign of a change."
            )
        )
        text = told.format(
            since=since, bad=bad, inspected=inspected,
            expected=number(usual_share * inspected, 1),
        )  # fmt: skip
        points.append(LikelihoodPoint(count, total, alarm, since, inspected, bad, text))
    return tuple(points)


def technician_sums(
    inspections: Iterable[Inspection], usual_share: float
) -> dict[str, tuple[LikelihoodPoint, ...]]:
    """Return the running sum of each technician over the days, by name.

    Errors as in :func:`likelihood_cusum`.
    """
    return {
        name: likelihood_cusum(counts, usual_share)
        for name, counts in days_of_technicians(inspections).items()
    }
