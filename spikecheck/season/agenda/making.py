"""Makes the agenda: one next task for every open spike."""

from __future__ import annotations

from collections import defaultdict
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING

from spikecheck.errors import SeasonError
from spikecheck.language import _, day_and_time, number
from spikecheck.season.agenda.next_step import next_step, runs_from
from spikecheck.season.agenda.tasks import Task, TaskKind, TaskState
from spikecheck.season.agenda.timing import Due, Waiting, due_times
from spikecheck.season.clock import ThermalClock, WarmthBasis
from spikecheck.season.cumulative import moment_of
from spikecheck.thresholds.season import load_season_numbers

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import tzinfo

    from spikecheck.season.temperatures import SeasonCourse
    from spikecheck.thresholds.season import SeasonNumbers
    from spikecheck.vocabulary.spike_record import SpikeRecord

_DAY = timedelta(days=1)
_URGENCY = {state: k for k, state in enumerate(TaskState)}


def agenda(
    records: Iterable[SpikeRecord],
    *,
    now: datetime,
    courses: Mapping[str, SeasonCourse],
    numbers: Mapping[str, SeasonNumbers],
    zone: tzinfo,
    days: int = 7,
) -> tuple[Task, ...]:
    """Return one next task for every open spike, most urgent first.

    Spikes that are given up or threshed have none. Where no temperature is known since a spike's
    time began, its task says which warmth is assumed.

    Parameters
    ----------
    records
        Spikes as they stand.
    now
        With time zone.
    courses
        Temperatures by place.
    numbers
        By crop; a crop that is missing takes the shipped ones.
    zone
        Of local days.
    days
        How many local days, today with them, count as this week.

    Raises
    ------
    SeasonError
        If ``now`` has no time zone.
    """
    if now.tzinfo is None:
        raise SeasonError(_("has no time zone"), where=now.isoformat())
    waiting: defaultdict[tuple[str, str], list[Waiting]] = defaultdict(list)
    days_of = _Days(now, zone, days)
    tasks = []
    for record in records:
        kind = next_step(record)
        if kind is None:
            continue
        start = runs_from(record, kind)
        if start is None:
            tasks.append(days_of.undated(record, kind))
        else:
            one = Waiting(record, kind, start.timestamp())
            waiting[record.place, record.crop].append(one)
    for (place, crop), several in waiting.items():
        crops_own = numbers.get(crop) or load_season_numbers(crop)
        course = courses.get(place)
        clock = None if course is None else ThermalClock.of(course, crops_own)
        assumed = ThermalClock.without_temperatures(crops_own)
        remarks = _Remarks(place, crops_own, course, zone)
        tasks += [days_of.task(due, remarks.of(due)) for due in due_times(several, clock, assumed)]
    tasks.sort(key=lambda one: (_URGENCY[one.state], one.day or date.max, one.cross, one.spike))
    return tuple(tasks)


class _Remarks:
    """Says what to know of the temperatures of one place behind due times."""

    def __init__(
        self, place: str, numbers: SeasonNumbers, course: SeasonCourse | None, zone: tzinfo
    ) -> None:
        told = (
            _("Temperatures of {place} are not known since then: days of {celsius} °C are assumed.")
            if place
            else _(
                "No place is recorded, so its temperatures are not known: days of {celsius} °C are "
                "assumed."
            )
        )
        self._assumed = told.format(place=place, celsius=_brief(numbers.assumed_c))
        self._by_outlook = []
        if course is None:
            return

        def local(moment: datetime) -> str:
            return day_and_time(moment.astimezone(zone))

        for one in course.outlooks:
            told = (
                _(
                    "Temperatures of {place}: known up to {start}, then days of {celsius} °C are "
                    "expected up to {end}."
                )
                if one.end < course.course.end
                else _(
                    "Temperatures of {place}: known up to {start}, then days of {celsius} °C are "
                    "expected."
                )
            )
            self._by_outlook.append(
                told.format(
                    place=place,
                    start=local(one.start),
                    celsius=number(one.air_c, 1),
                    end=local(one.end),
                )
            )
        self._by_outlook.append(
            _("Temperatures of {place}: known up to {start}, not beyond.").format(
                place=place, start=local(course.course.end)
            )
        )

    def of(self, due: Due) -> str:
        """Return the remark on a due time, or nothing where all temperatures are measured."""
        if due.basis is WarmthBasis.ASSUMED:
            return self._assumed
        return self._by_outlook[due.outlook] if due.basis is WarmthBasis.OUTLOOK else ""


def _brief(value: float) -> str:
    """Return a number without zeros that say nothing: 15, 15.5."""
    return number(value, len(f"{value:g}".partition(".")[2]))


class _Days:
    """Puts due times into local days and says how urgent they are."""

    def __init__(self, now: datetime, zone: tzinfo, days: int) -> None:
        self._now, self._zone = now.timestamp(), zone
        self._today = now.astimezone(zone).date()
        self._week_ends = self._today + days * _DAY

    def undated(self, record: SpikeRecord, kind: TaskKind) -> Task:
        """Return a task of which no moment is known."""
        return Task(
            kind, record.cross, record.spike, record.male, record.place,
            None, None, None, None, None, TaskState.LATER, None, "", self._zone,
        )  # fmt: skip

    def task(self, due: Due, remark: str) -> Task:
        """Return the task that is due, after what its times make of it."""
        kind, record = due.waiting.kind, due.waiting.record
        first, best, last = due.first, due.best, due.last
        basis: WarmthBasis | None = due.basis
        if kind is TaskKind.BAG and last <= self._now:
            kind, first, best = TaskKind.CHECK_AGAIN, last, last
        elif kind is TaskKind.REBAG and first <= self._now:
            kind = TaskKind.HARVEST  # the seed is ripe: no bag helps it any more
        elif kind in (TaskKind.REBAG, TaskKind.THRESH):
            first = best = due.waiting.start
            last = self._end_of_day(first) if kind is TaskKind.REBAG else float("nan")
            basis, remark = None, ""
        day = self._day(best)
        return Task(
            kind, record.cross, record.spike, record.male, record.place,
            moment_of(first), moment_of(best), moment_of(last), moment_of(due.last_early),
            day, self._state(day, last), basis, remark, self._zone,
        )  # fmt: skip

    def _day(self, best: float) -> date | None:
        if best != best:  # noqa: PLR0124  (NaN)
            return None
        return max(datetime.fromtimestamp(best, self._zone).date(), self._today)

    def _state(self, day: date | None, last: float) -> TaskState:
        if last < self._now:
            return TaskState.OVERDUE
        if day is None or day >= self._week_ends:
            return TaskState.LATER
        return TaskState.TODAY if day == self._today else TaskState.THIS_WEEK

    def _end_of_day(self, moment: float) -> float:
        day = datetime.fromtimestamp(moment, self._zone).date()
        return datetime.combine(day + _DAY, time(), self._zone).astimezone(UTC).timestamp()
