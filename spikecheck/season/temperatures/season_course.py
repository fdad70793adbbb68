"""Known temperatures of a place, continued by an outlook."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, timedelta
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.errors import SeasonError
from spikecheck.season.course import Stretch, TemperatureCourse
from spikecheck.season.temperatures.joining import Gap, laid_over, runs_of
from spikecheck.season.temperatures.sources import stretches_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import datetime, tzinfo

    from spikecheck.thresholds.season import SeasonNumbers
    from spikecheck.vocabulary.temperatures import Recorded

_DAY = timedelta(days=1)
_WHOLE_DAYS_LEAST = 2  # a spread needs two


@dataclass(frozen=True, slots=True)
class Outlook:
    """How warm the coming days are taken to be.

    Parameters
    ----------
    start
        From when on, UTC.
    air_c
        Mean of the last days, degrees C.
    spread_c
        How much warmer or colder it may stay, degrees C: the standard deviation of the daily means
        of the last days. Coming days are taken to be off all the same way, as a warm or a cold
        spell is, so the spread of their mean does not shrink with their number.
    """

    start: datetime
    air_c: float
    spread_c: float


@dataclass(frozen=True, slots=True)
class SeasonCourse:
    """Temperatures of one place since the last gap.

    Parameters
    ----------
    course
        Known temperatures, then the outlook.
    warm, cold
        The same with the outlook at its warmest and coldest.
    outlook
        What is outlook, or None where every temperature is known.
    gaps
        Times without temperatures, in order; nothing before the last of them is in ``course``.
    """

    course: TemperatureCourse
    warm: TemperatureCourse
    cold: TemperatureCourse
    outlook: Outlook | None
    gaps: tuple[Gap, ...]


def season_course(
    sources: Iterable[Recorded], *, until: datetime, zone: tzinfo, numbers: SeasonNumbers
) -> SeasonCourse:
    """Join what is known of one place and continue it as warm as the last days were.

    Parameters
    ----------
    sources
        In any order.
    until
        How far the outlook goes, with time zone; known temperatures beyond it are kept.
    zone
        Of days given by their extremes.
    numbers
        Give the longest gap that is bridged and the number of last days for the outlook.

    Raises
    ------
    SeasonError
        If no temperature is known, one cannot be, or a source is out of order.
    """
    runs, gaps = _known_runs(sources, zone=zone, numbers=numbers)
    if not runs:
        raise SeasonError(
            "no temperatures are known", cure="Give one day or more, or two readings or more"
        )
    known = runs[-1]
    course = TemperatureCourse(tuple(known))
    last = until.astimezone(UTC)
    if last <= course.end:
        return SeasonCourse(course, course, course, None, gaps)
    outlook = _outlook(known, days=numbers.outlook_days, otherwise_c=numbers.assumed_spread_c)

    def continued(air_c: float) -> TemperatureCourse:
        ahead = Stretch(course.end, last, air_c, (last - course.end) / _DAY)
        return TemperatureCourse((*course.stretches, ahead))

    return SeasonCourse(
        continued(outlook.air_c),
        continued(outlook.air_c + outlook.spread_c),
        continued(outlook.air_c - outlook.spread_c),
        outlook,
        gaps,
    )


def measured_courses(
    sources: Iterable[Recorded], *, zone: tzinfo, numbers: SeasonNumbers
) -> tuple[TemperatureCourse, ...]:
    """Return what is known of one place, a course between each two gaps, in order; no outlook.

    Parameters and errors are those of :func:`season_course`; where nothing is known it is empty.
    """
    runs, _ = _known_runs(sources, zone=zone, numbers=numbers)
    return tuple(TemperatureCourse(tuple(run)) for run in runs)


def _known_runs(
    sources: Iterable[Recorded], *, zone: tzinfo, numbers: SeasonNumbers
) -> tuple[list[list[Stretch]], tuple[Gap, ...]]:
    gap_most = timedelta(hours=numbers.gap_most_h)
    in_order = sorted(sources, key=lambda one: one.recorded_at)
    layers = [stretches_of(one, zone=zone, gap_most=gap_most) for one in in_order]
    return runs_of(laid_over(layers), gap_most=gap_most)


def _outlook(known: Sequence[Stretch], *, days: float, otherwise_c: float) -> Outlook:
    """Return the outlook from the last ``days``, or from what there is of them.

    With less than two whole days the spread is ``otherwise_c``.
    """
    ends = np.array([known[0].start.timestamp(), *(one.end.timestamp() for one in known)])
    warmth = np.array([one.air_c for one in known]) * np.diff(ends)
    summed = np.concatenate(([0.0], np.cumsum(warmth)))
    last, day = ends[-1], _DAY.total_seconds()
    first = max(ends[0], last - days * day)

    def mean(start: float, end: float) -> float:
        low, high = np.interp([start, end], ends, summed)
        return float((high - low) / (end - start))

    whole = int((last - first) / day + 1e-9)  # days of 24 h, back from the end
    means = [mean(last - (k + 1) * day, last - k * day) for k in range(whole)]
    spread = float(np.std(means, ddof=1)) if whole >= _WHOLE_DAYS_LEAST else otherwise_c
    return Outlook(known[-1].end, mean(first, last), spread)
