"""Known temperatures of a place; an outlook fills their gaps and continues them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, timedelta
from itertools import pairwise, zip_longest
from typing import TYPE_CHECKING

from spikecheck.season.course import Stretch, TemperatureCourse
from spikecheck.season.temperatures.joining import laid_over, runs_of
from spikecheck.season.temperatures.outlooks import Known, Outlook, outlook_of
from spikecheck.season.temperatures.sources import stretches_of

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime, tzinfo

    from spikecheck.thresholds.season import SeasonNumbers
    from spikecheck.vocabulary.temperatures import Recorded

_DAY = timedelta(days=1)


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
    known = Known.of([one for run in runs for one in run])
    outlooks = [outlook_of(known, start, end, numbers) for start, end in unknown]

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
