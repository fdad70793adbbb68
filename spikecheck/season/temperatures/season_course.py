"""Known temperatures of a place; an outlook fills their gaps and continues them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, timedelta
from itertools import pairwise, zip_longest
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.season.course import Stretch, TemperatureCourse
from spikecheck.season.temperatures.joining import laid_over, runs_of
from spikecheck.season.temperatures.sources import stretches_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import datetime, tzinfo

    from numpy.typing import NDArray

    from spikecheck.thresholds.season import SeasonNumbers
    from spikecheck.vocabulary.temperatures import Recorded

_DAY = timedelta(days=1)
_WHOLE_DAYS_LEAST = 2  # a spread needs two
_SECOND = 1.0  # sums of floats are not exact


@dataclass(frozen=True, slots=True)
class Outlook:
    """How warm a time is taken to be of which no temperature is known.

    Parameters
    ----------
    start
        Up to when the temperatures before it are known, UTC.
    end
        When the next ones begin, UTC, or how far the course goes.
    air_c
        Mean of what is known of the last days before it, degrees C.
    spread_c
        How much warmer or colder it may stay, degrees C: the standard deviation of the means of
        those of the last days that are known whole, or an assumed one with fewer than two. Coming
        days are taken to be off all the same way, as a warm or a cold
        spell is, so the spread of their mean does not shrink with their number.
    """

    start: datetime
    end: datetime
    air_c: float
    spread_c: float


@dataclass(frozen=True, slots=True)
class SeasonCourse:
    """Temperatures of one place since the first that is known.

    What is known stays as it is, whatever is known before or after it: an outlook rests on nothing
    but the last days before it.

    Parameters
    ----------
    course
        Known temperatures, each gap filled and the end continued by an outlook.
    warm, cold
        The same with every outlook at its warmest and coldest.
    outlooks
        Every time without known temperatures, in order; the last one reaches the end of the course
        where the known temperatures do not.
    """

    course: TemperatureCourse
    warm: TemperatureCourse
    cold: TemperatureCourse
    outlooks: tuple[Outlook, ...]

    @property
    def gaps(self) -> tuple[Outlook, ...]:
        """The outlooks after which known temperatures follow."""
        return tuple(one for one in self.outlooks if one.end < self.course.end)

    @property
    def ahead(self) -> Outlook | None:
        """The outlook that continues the last known temperatures, or None if none does."""
        last = self.outlooks[-1:]
        return last[0] if last and last[0].end == self.course.end else None


def season_course(
    sources: Iterable[Recorded], *, until: datetime, zone: tzinfo, numbers: SeasonNumbers
) -> SeasonCourse | None:
    """Join what is known of one place; what is not is as warm as the last days before it were.

    Parameters
    ----------
    sources
        In any order.
    until
        How far the outlook goes, with time zone; known temperatures beyond it are kept.
    zone
        Of days given by their extremes.
    numbers
        Give the longest gap that is bridged and the number of last days for an outlook.

    Returns
    -------
    SeasonCourse or None
        None if no temperature is known; a single reading tells of no time.

    Raises
    ------
    SeasonError
        If a temperature cannot be, or a source is out of order.
    """
    runs = _known_runs(sources, zone=zone, numbers=numbers)
    if not runs:
        return None
    unknown = [(run[-1].end, following[0].start) for run, following in pairwise(runs)]
    known_until, last = runs[-1][-1].end, until.astimezone(UTC)
    if last > known_until:
        unknown.append((known_until, last))
    known = _Known.of([one for run in runs for one in run])
    outlooks = [_outlook(known, start, end, numbers) for start, end in unknown]

    def filled(spreads: int) -> TemperatureCourse:
        stretches: list[Stretch] = []
        for run, outlook in zip_longest(runs, outlooks):
            stretches += run
            if outlook is not None:
                air_c = outlook.air_c + spreads * outlook.spread_c
                days = (outlook.end - outlook.start) / _DAY
                stretches.append(Stretch(outlook.start, outlook.end, air_c, days))
        return TemperatureCourse(tuple(stretches))

    return SeasonCourse(filled(0), filled(1), filled(-1), tuple(outlooks))


def measured_courses(
    sources: Iterable[Recorded], *, zone: tzinfo, numbers: SeasonNumbers
) -> tuple[TemperatureCourse, ...]:
    """Return what is known of one place, a course between each two gaps, in order; no outlook.

    Parameters and errors are those of :func:`season_course`; where nothing is known it is empty.
    """
    runs = _known_runs(sources, zone=zone, numbers=numbers)
    return tuple(TemperatureCourse(tuple(run)) for run in runs)


def _known_runs(
    sources: Iterable[Recorded], *, zone: tzinfo, numbers: SeasonNumbers
) -> list[list[Stretch]]:
    gap_most = timedelta(hours=numbers.gap_most_h)
    in_order = sorted(sources, key=lambda one: one.recorded_at)
    layers = [stretches_of(one, zone=zone, gap_most=gap_most) for one in in_order]
    return runs_of(laid_over(layers), gap_most=gap_most)


@dataclass(frozen=True, slots=True, eq=False)
class _Known:
    """What is known, summed up to each start and end of a stretch, in order of time.

    Arrays are float64 of shape (2 N,) for N stretches.

    Parameters
    ----------
    at
        Seconds since the epoch.
    seconds
        For how long temperatures are known by then.
    warmth
        Degrees C times seconds by then.
    """

    at: NDArray[np.float64]
    seconds: NDArray[np.float64]
    warmth: NDArray[np.float64]

    @classmethod
    def of(cls, stretches: Sequence[Stretch]) -> _Known:
        at = np.array([(one.start.timestamp(), one.end.timestamp()) for one in stretches])
        lasting = at[:, 1] - at[:, 0]
        air_c = np.array([one.air_c for one in stretches])

        def summed(several: NDArray[np.float64]) -> NDArray[np.float64]:
            total = np.cumsum(several)
            return np.stack((np.concatenate(([0.0], total[:-1])), total), axis=1).ravel()

        return cls(at.ravel(), summed(lasting), summed(lasting * air_c))

    def between(self, edges: NDArray[np.float64]) -> tuple[NDArray[np.float64], ...]:
        """Return the seconds known, and their warmth, between each two rising edges."""
        return tuple(
            np.diff(np.interp(edges, self.at, total)) for total in (self.seconds, self.warmth)
        )


def _outlook(known: _Known, start: datetime, end: datetime, numbers: SeasonNumbers) -> Outlook:
    """Return the outlook from ``start``, up to which temperatures are known, to ``end``."""
    last, day = start.timestamp(), _DAY.total_seconds()
    seconds, warmth = known.between(np.array([last - numbers.outlook_days * day, last]))
    air_c = float(warmth[0] / seconds[0])
    whole = int(numbers.outlook_days)
    edges = last - day * np.arange(whole, -1, -1, dtype=np.float64)  # days of 24 h
    seconds, warmth = known.between(edges)
    full = seconds > day - _SECOND
    means = warmth[full] / seconds[full]
    spread = np.std(means, ddof=1) if len(means) >= _WHOLE_DAYS_LEAST else numbers.assumed_spread_c
    return Outlook(start, end, air_c, float(spread))
