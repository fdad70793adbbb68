"""Charts of an audit: what a plan lets pass, shares of bad spikes, running sums."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from spikecheck.audit import (
    acceptance,
    by_day,
    by_technician,
    share_chart,
    technician_sums,
)
from spikecheck.audit.charts import Side
from spikecheck.audit.cusum import likelihood_limit
from spikecheck.charts import Band, Chart, Level, Series
from spikecheck.errors import UsageError
from spikecheck.language import _, day, percent

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.audit import Count, Inspection, LikelihoodPoint
    from spikecheck.supervision.plan import SessionPlan

_NEAR_NOTHING = 0.002  # from where on a curve cannot be told from the axis


def plan_chart(planned: SessionPlan) -> Chart:
    """Return the operating characteristic of a plan: how likely a session passes."""
    plan = planned.plan
    passes: list[float] = []
    while len(passes) <= plan.lot and (len(passes) <= planned.detect or passes[-1] > _NEAR_NOTHING):
        passes.append(acceptance(plan, len(passes)))
    return Chart(
        title=_("How likely the session passes"),
        told=planned.sentence,
        x_name=_("bad spikes of {lot}").format(lot=plan.lot),
        y_name=_("probability to pass"),
        series=(
            Series(
                _("this plan"),
                tuple((float(bad), chance) for bad, chance in enumerate(passes)),
            ),
            Series(
                _("what it is to notice"),
                ((float(planned.detect), planned.missed),),
                joined=False, marked=True,
            ),
        ),
        y_percent=True,
    )  # fmt: skip


def technician_chart(inspections: Sequence[Inspection]) -> Chart | None:
    """Return the control chart of bad spikes by who emasculated; None where it says nothing."""
    return _shares(by_technician(inspections), _("Bad spikes by technician"), _("who emasculated"))


def day_chart(inspections: Sequence[Inspection]) -> Chart | None:
    """Return the control chart of bad spikes by day of emasculation; None alike."""
    days = [replace(one, name=_day(one.name)) for one in by_day(inspections)]
    return _shares(days, _("Bad spikes by day"), _("day of emasculation"))


def running_charts(inspections: Sequence[Inspection]) -> tuple[Chart, ...]:
    """Return the running sum of each technician over two days or more, once a bad spike was found.

    What is usual is the share over all that were looked at, so that no one's own bad days hide.
    """
    bad = sum(one.bad for one in inspections)
    if not 0 < bad < len(inspections):
        return ()
    usual = bad / len(inspections)
    return tuple(
        _sum_chart(name, points, usual)
        for name, points in technician_sums(inspections, usual).items()
        if len(points) > 1
    )


def _day(name: str) -> str:
    """Return the day that names a count, as the reader writes days."""
    return day(date.fromisoformat(name))


def _shares(counts: Sequence[Count], title: str, x_name: str) -> Chart | None:
    try:
        shares = share_chart(counts)
    except UsageError:  # fewer than two counts have no chart
        return None
    limits = [point.exact if point.exact_decides else point.usual for point in shares.points]
    outside = tuple(
        index for index, point in enumerate(shares.points) if point.side is not Side.WITHIN
    )
    return Chart(
        title=title,
        told=" ".join(point.sentence for point in shares.outside)
        or _("Every share lies within what chance explains."),
        x_name=x_name,
        y_name=_("share of bad spikes"),
        series=(
            Series(
                _("share"),
                tuple((float(x), point.count.share) for x, point in enumerate(shares.points)),
                joined=False, marked=True, flagged=outside,
            ),
        ),
        bands=(
            Band(
                _("what chance explains"),
                tuple((float(x), one.low, one.high) for x, one in enumerate(limits)),
            ),
        ),
        levels=(Level(_("usual share, {share}").format(share=percent(shares.centre)),
                      shares.centre),),
        y_percent=True,
        x_names=tuple(point.count.name for point in shares.points),
    )  # fmt: skip


def _told(points: Sequence[LikelihoodPoint]) -> str:
    """Return what a running sum says: an alarm is told also when good days came after it."""
    last = points[-1]
    alarm = next((point for point in reversed(points) if point.alarm), last)
    if alarm is last:
        return last.sentence
    return _("Up to {day}: {told}").format(day=_day(alarm.count.name), told=alarm.sentence)


def _sum_chart(name: str, points: Sequence[LikelihoodPoint], usual: float) -> Chart:
    return Chart(
        title=_("Running sum of {name}").format(name=name),
        told=_told(points),
        x_name=_("day of emasculation"),
        y_name=_("sum; usual share {share}").format(share=percent(usual)),
        series=(
            Series(
                "",
                tuple((float(x), point.total) for x, point in enumerate(points)),
                marked=True,
                flagged=tuple(x for x, point in enumerate(points) if point.alarm),
            ),
        ),
        levels=(Level(_("look for the cause"), likelihood_limit()),),
        x_names=tuple(_day(point.count.name) for point in points),
    )
