"""The stretches of time that one source of temperatures knows."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise
from typing import TYPE_CHECKING, TypeVar

from spikecheck.season.course import Stretch, TemperatureCourse
from spikecheck.vocabulary.temperatures import Constant, DailyReading, Reading

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import tzinfo

    from spikecheck.vocabulary.temperatures import Recorded

_DAY = timedelta(days=1)
_R = TypeVar("_R", DailyReading, Reading)


def stretches_of(recorded: Recorded, *, zone: tzinfo, gap_most: timedelta) -> list[Stretch]:
    """Return the stretches that one source knows, in order; missing days and gaps are left out.

    Parameters
    ----------
    recorded
        The source.
    zone
        Of the days.
    gap_most
        The longest time between two readings that is bridged.

    Raises
    ------
    SeasonError
        If a temperature cannot be, or days or readings are out of order.
    """
    known = recorded.temperatures
    if isinstance(known, Constant):
        course = TemperatureCourse.constant(known.air_c, known.start, known.end)
        return list(course.stretches)
    found: list[Stretch] = []
    days = [one for one in known if isinstance(one, DailyReading)]
    for run in _runs(days, lambda before, after: after.day - before.day <= _DAY):
        found += TemperatureCourse.of_days(run, zone).stretches
    readings = [one for one in known if isinstance(one, Reading)]
    for near in _runs(readings, lambda before, after: after.moment - before.moment <= gap_most):
        if len(near) > 1:  # a single reading tells of no time
            found += TemperatureCourse.of_readings(near, gap_most=gap_most).stretches
    return found


def _runs(several: Sequence[_R], joins: Callable[[_R, _R], bool]) -> list[list[_R]]:
    """Return ``several`` cut between neighbours that do not join."""
    runs = [[one] for one in several[:1]]
    for before, after in pairwise(several):
        if joins(before, after):
            runs[-1].append(after)
        else:
            runs.append([after])
    return runs
