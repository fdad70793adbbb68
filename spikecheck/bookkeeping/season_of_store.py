"""The season arithmetic asked of what a store holds."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta
from typing import TYPE_CHECKING

from spikecheck.bookkeeping.local_time import local_zone
from spikecheck.errors import SeasonError
from spikecheck.language import _
from spikecheck.season.agenda import agenda
from spikecheck.season.clock import ThermalClock, WarmthBasis
from spikecheck.season.deadline import Deadline
from spikecheck.season.temperatures import measured_courses, season_course
from spikecheck.season.windows import valid_until
from spikecheck.thresholds.season import load_season_numbers, numbers_with

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime
    from zoneinfo import ZoneInfo

    from spikecheck.season.agenda import Task
    from spikecheck.season.course import TemperatureCourse
    from spikecheck.season.temperatures import SeasonCourse
    from spikecheck.store import Store
    from spikecheck.thresholds.season import SeasonNumbers
    from spikecheck.vocabulary.spike_record import SpikeRecord

# How far ahead temperatures are continued: past the harvest of what was pollinated today.
_AHEAD = timedelta(days=200)


@dataclass(frozen=True, slots=True)
class SeasonOfStore:
    """Numbers and temperatures of one store, read when they are asked for.

    A place may have a year of a logger's readings: they are read and joined once, however many
    spikes stand there. Make a new one after temperatures were recorded.

    Parameters
    ----------
    store
        Where they are.
    now
        With time zone.
    zone
        Of local days.
    """

    store: Store
    now: datetime
    zone: ZoneInfo
    _courses: dict[tuple[str, SeasonNumbers], SeasonCourse | None] = field(
        default_factory=dict, init=False, repr=False
    )

    def numbers(self, crop: str) -> SeasonNumbers:
        """Return the numbers of a crop, the user's changes among them."""
        return numbers_with(load_season_numbers(crop), self.store.numbers.in_force(crop))

    def course(self, place: str, numbers: SeasonNumbers) -> SeasonCourse | None:
        """Return the temperatures of a place, continued ahead, or None where none is known.

        Raises
        ------
        SeasonError
            If a temperature that was recorded cannot be.
        """
        key = (place, numbers)
        if key not in self._courses:
            sources = self.store.temperatures.of_place(place) if place else ()
            self._courses[key] = season_course(
                sources, until=self.now + _AHEAD, zone=self.zone, numbers=numbers
            )
        return self._courses[key]

    def measured(self, place: str, numbers: SeasonNumbers) -> tuple[TemperatureCourse, ...]:
        """Return every temperature measured at a place, a course between each two gaps.

        Raises
        ------
        SeasonError
            If a temperature that was recorded cannot be.
        """
        sources = self.store.temperatures.of_place(place) if place else ()
        return measured_courses(sources, zone=self.zone, numbers=numbers)

    def check_holds_until(self, record: SpikeRecord) -> Deadline | None:
        """Return until when the latest check holds at the least; None without one.

        It is the earliest moment that may be: a deadline that guards against self-pollination.
        """
        if record.checked_at is None:
            return None
        numbers = self.numbers(record.crop)
        course = self.course(record.place, numbers)
        clock = ThermalClock.since(record.checked_at, course, numbers)
        early = valid_until(record, clock).early
        if early is None:
            return None
        basis = clock.basis(record.checked_at.timestamp(), early.timestamp())
        return Deadline(early, WarmthBasis(str(basis)))

    def check_expired(self, record: SpikeRecord, at: datetime) -> Deadline | None:
        """Return until when the latest check held; None without one and while it holds."""
        until = self.check_holds_until(record)
        return None if until is None or at <= until.at else until

    def agenda(
        self, records: Iterable[SpikeRecord] | None = None, *, days: int = 7
    ) -> tuple[Task, ...]:
        """Return one next task for every open spike, most urgent first.

        Parameters
        ----------
        records
            The spikes; None takes all that are open.
        days
            How many local days, today with them, count as this week.
        """
        several = self.store.spikes.open() if records is None else tuple(records)
        numbers = {crop: self.numbers(crop) for crop in {one.crop for one in several}}
        courses = {}
        for place in {one.place for one in several}:
            crop = next(one.crop for one in several if one.place == place)
            course = self.course(place, numbers[crop])
            if course is not None:
                courses[place] = course
        return agenda(
            several, now=self.now, courses=courses, numbers=numbers, zone=self.zone, days=days
        )


def season_of(store: Store, *, now: datetime) -> SeasonOfStore:
    """Return the season of ``store`` in the local time zone.

    Raises
    ------
    SeasonError
        If ``now`` has no time zone.
    """
    if now.tzinfo is None:
        raise SeasonError(_("has no time zone"), where=now.isoformat())
    return SeasonOfStore(store, now, local_zone())
