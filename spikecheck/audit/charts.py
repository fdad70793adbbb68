"""Control chart of the share of bad spikes (p-chart), by technician or by day.

References
----------
NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.3.2 (proportions control charts).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.language import _, number
from spikecheck.thresholds.audit import load_audit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.audit.inspections import Count
    from spikecheck.thresholds.audit import AuditThresholds


class Side(StrEnum):
    """Where a point lies."""

    WITHIN = "within"
    ABOVE = "above"
    BELOW = "below"


@dataclass(frozen=True, slots=True)
class Limits:
    """Control limits of a share, 0..1: a point on a limit is within."""

    low: float
    high: float

    def side(self, share: float) -> Side:
        """Return where a share lies."""
        # A count over its number and a limit worked out otherwise may differ by a rounding.
        if share > self.high and not math.isclose(share, self.high, abs_tol=1e-12):
            return Side.ABOVE
        if share < self.low and not math.isclose(share, self.low, abs_tol=1e-12):
            return Side.BELOW
        return Side.WITHIN


@dataclass(frozen=True, slots=True)
class ChartPoint:
    """One technician or day on the chart.

    Parameters
    ----------
    count
        Spikes looked at, and bad ones.
    usual
        Limits of so many standard deviations, cut at 0 and 1; they vary with the sample size.
    exact
        Limits of the binomial distribution: beyond either lies no more than the shipped tail.
    exact_decides
        Whether the exact limits say where the point lies: the sample is too small for the others.
    side
        Where it lies.
    sentence
        That in words.
    """

    count: Count
    usual: Limits
    exact: Limits
    exact_decides: bool
    side: Side
    sentence: str


@dataclass(frozen=True, slots=True)
class ShareChart:
    """The whole chart.

    Parameters
    ----------
    centre
        Usual share of bad spikes, 0..1.
    estimated
        Whether the centre comes from the same counts; a bad one then hides itself a little.
    points
        In the order given.
    """

    centre: float
    estimated: bool
    points: tuple[ChartPoint, ...]

    @property
    def outside(self) -> tuple[ChartPoint, ...]:
        """The points outside of their limits."""
        return tuple(point for point in self.points if point.side is not Side.WITHIN)


def share_chart(counts: Sequence[Count], centre: float | None = None) -> ShareChart:
    """Return the control chart of the share of bad spikes.

    Parameters
    ----------
    counts
        One point each; sample sizes may differ.
    centre
        Share known from before, 0..1; if None, all bad spikes over all looked at.

    Raises
    ------
    UsageError
        If there is no count, only one and no centre, or the centre is out of range.
    """
    if centre is not None and not 0 <= centre <= 1:
        raise UsageError(_("a share lies in 0..1, got {centre}").format(centre=centre))
    fewest = 1 if centre is not None else 2
    if len(counts) < fewest:
        raise UsageError(
            _("a chart needs {fewest} counts or more, got {counts}").format(
                fewest=fewest, counts=len(counts)
            ),
            cure=_("Add technicians or days, or give the share known from before"),
        )
    numbers = load_audit()
    middle = centre
    if middle is None:
        middle = sum(count.bad for count in counts) / sum(count.inspected for count in counts)
    points = tuple(_point(count, middle, numbers) for count in counts)
    return ShareChart(middle, centre is None, points)


def usual_limits(centre: float, inspected: int, sigmas: float) -> Limits:
    """Return the limits ``centre`` plus and minus ``sigmas`` standard deviations, cut to 0..1."""
    reach = sigmas * math.sqrt(centre * (1 - centre) / inspected)
    return Limits(max(centre - reach, 0.0), min(centre + reach, 1.0))


def exact_limits(centre: float, inspected: int, tail: float) -> Limits:
    """Return the binomial limits: beyond either lies ``tail`` at most.

    They are shares of whole spikes: the least and the largest count that chance explains.
    """
    from scipy.stats import binom

    # ppf(q) is the smallest count with cumulative probability q or more.
    low, high = binom.ppf([tail, 1 - tail], inspected, centre)
    return Limits(max(float(low), 0.0) / inspected, max(float(high), 0.0) / inspected)


def _point(count: Count, centre: float, numbers: AuditThresholds) -> ChartPoint:
    usual = usual_limits(centre, count.inspected, numbers.limit_sigmas)
    exact = exact_limits(centre, count.inspected, numbers.exact_tail)
    rarer = count.inspected * min(centre, 1 - centre)
    exact_decides = rarer < numbers.expected_least
    limits = exact if exact_decides else usual
    side = limits.side(count.share)
    return ChartPoint(
        count, usual, exact, exact_decides, side, _sentence(count, centre, limits, side)
    )


def _sentence(count: Count, centre: float, limits: Limits, side: Side) -> str:
    told = {
        "name": count.name, "bad": count.bad, "inspected": count.inspected,
        "expected": number(centre * count.inspected, 1),
        # A limit of 3.0000000001 spikes is 3.
        "most": math.floor(limits.high * count.inspected + 1e-9),
        "least": math.ceil(limits.low * count.inspected - 1e-9),
    }  # fmt: skip
    if side is Side.ABOVE:
        return _(
            "{name}: {bad} of {inspected} spikes were bad; {expected} were to be expected, and "
            "chance explains {most} at most. Look for the cause."
        ).format(**told)
    if side is Side.BELOW:
        return _(
            "{name}: {bad} of {inspected} spikes were bad; {expected} were to be expected, and "
            "chance explains {least} at least. Learn what went so well, or whether some were "
            "overlooked."
        ).format(**told)
    return _(
        "{name}: {bad} of {inspected} spikes were bad; {expected} were to be expected, and chance "
        "explains {least} to {most}."
    ).format(**told)
