"""Running sums that notice a small lasting change sooner than a control chart (CUSUM).

Bad spikes are rare, so what is added up is how much better a worse share explains each day than the
usual one does.

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
from datetime import date
from typing import TYPE_CHECKING

from spikecheck.audit.inspections import Count, days_of_technicians
from spikecheck.errors import UsageError
from spikecheck.language import _, day, number
from spikecheck.thresholds.audit import load_audit

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from spikecheck.audit.inspections import Inspection


def running_sum(gains: Iterable[float]) -> Iterator[float]:
    """Yield Page's sum after each gain: what has gathered, and never less than 0.

    Parameters
    ----------
    gains
        How far each value speaks for a change, in order of time: of a measured value what it lies
        beyond the target by more than the allowance, of a share a logarithm of likelihoods.
    """
    total = 0.0
    for gain in gains:
        total = max(0.0, total + gain)
        yield total


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
        In order of time, of any size; named by their day as ISO 8601 writes it.
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
    totals = running_sum(one.bad * for_bad + (one.inspected - one.bad) * for_good for one in counts)
    before, since, inspected, bad = 0.0, "", 0, 0
    points = []
    for count, total in zip(counts, totals, strict=True):
        if before == 0:
            since, inspected, bad = count.name, 0, 0
        before, inspected, bad = total, inspected + count.inspected, bad + count.bad
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
            since=day(date.fromisoformat(since)), bad=bad, inspected=inspected,
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
