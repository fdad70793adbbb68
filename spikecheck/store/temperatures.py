"""Temperatures by place: every source is kept, the later recorded one holds."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import insert, select

from spikecheck.errors import UsageError
from spikecheck.history.step_json import moment_text
from spikecheck.store.chain_writer import ChainWriter
from spikecheck.store.moments import YEARS
from spikecheck.store.parts import in_parts
from spikecheck.store.season_tables import (
    daily_temperatures,
    temperature_readings,
    temperature_sources,
)
from spikecheck.vocabulary.temperatures import Constant, DailyReading, Reading, Recorded
from spikecheck.vocabulary.text import tidy_file_name, tidy_name

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy import Connection, Row

    from spikecheck.store.database import Database
    from spikecheck.vocabulary.temperatures import Temperatures

_AT_ONCE = 5000


@dataclass(frozen=True, slots=True)
class TemperatureSource:
    """Where temperatures of a place came from.

    Parameters
    ----------
    id
        Its number, rising in the order of recording.
    place
        The place.
    kind
        ``"daily"``, ``"readings"`` or ``"constant"``.
    zone
        Name of the time zone of its days (IANA).
    file_name
        Name of the file, or empty if typed.
    recorded_by, recorded_at
        Who and when, UTC.
    """

    id: int
    place: str
    kind: str
    zone: str
    file_name: str
    recorded_by: str
    recorded_at: datetime


class TemperatureRecords:
    """The temperatures of one store.

    Parameters
    ----------
    database
        Where they are.
    """

    def __init__(self, database: Database) -> None:
        self._database = database

    def add(
        self, place: str, temperatures: Temperatures, *, zone: str, by: str, file_name: str = ""
    ) -> TemperatureSource:
        """Record temperatures of a place.

        Parameters
        ----------
        place
            As crossing sessions call it.
        temperatures
            Days, readings, or a constant.
        zone
            Name of the time zone of days (IANA).
        by
            Who records them.
        file_name
            Of the file they came from, or empty.

        Raises
        ------
        UsageError
            If there are none, a year cannot be, or a name cannot be kept.
        """
        where = tidy_name(place, what="the place")
        who = tidy_name(by, what="the name of who records")
        if not isinstance(temperatures, Constant) and not temperatures:
            raise UsageError("there are no temperatures to record", cure="Give one day or more")
        _refuse_odd_years(temperatures)
        values: dict[str, Any] = {
            "place": where, "zone": zone, "recorded_by": who,
            "kind": _kind(temperatures),
            "file_name": tidy_file_name(file_name) if file_name else "",
        }  # fmt: skip
        if isinstance(temperatures, Constant):
            values |= {
                "air_c": temperatures.air_c, "start_at": temperatures.start,
                "end_at": temperatures.end,
            }  # fmt: skip
        with self._database.writing() as connection, ChainWriter(connection) as chain:
            row = connection.execute(
                insert(temperature_sources)
                .values(recorded_at=chain.moment, **values)
                .returning(temperature_sources)
            ).one()
            if not isinstance(temperatures, Constant):
                _insert(connection, row.id, temperatures)
            data = {
                "source": row.id, "place": where, "kind": values["kind"], "zone": zone,
                "file_name": values["file_name"], "sha256": _digest(temperatures),
            }  # fmt: skip
            chain.add("temperatures_recorded", {"data": data}, by=who)
            return _source(row)

    def sources(self) -> tuple[TemperatureSource, ...]:
        """Return every source in the order of recording."""
        with self._database.reading() as connection:
            rows = connection.execute(
                select(temperature_sources).order_by(temperature_sources.c.id)
            )
            return tuple(map(_source, rows))

    def of_place(self, place: str) -> tuple[Recorded, ...]:
        """Return what every source knows of a place, in the order of recording."""
        with self._database.reading() as connection:
            rows = connection.execute(
                select(temperature_sources)
                .where(temperature_sources.c.place == place)
                .order_by(temperature_sources.c.id)
            ).all()
            return tuple(Recorded(select_temperatures(connection, r), r.recorded_at) for r in rows)


def select_temperatures(connection: Connection, source: Row[Any]) -> Temperatures:
    """Return the temperatures of one row of ``temperature_sources``."""
    if source.kind == "constant":
        return Constant(source.air_c, source.start_at, source.end_at)
    if source.kind == "daily":
        days = connection.execute(
            select(daily_temperatures)
            .where(daily_temperatures.c.source_id == source.id)
            .order_by(daily_temperatures.c.day)
        )
        return tuple(DailyReading(row.day, row.min_c, row.max_c) for row in days)
    readings = connection.execute(
        select(temperature_readings)
        .where(temperature_readings.c.source_id == source.id)
        .order_by(temperature_readings.c.moment)
    )
    return tuple(Reading(row.moment, row.air_c) for row in readings)


def temperatures_digest(connection: Connection, source: Row[Any]) -> str:
    """Return the hex SHA-256 of the temperatures of one row of ``temperature_sources``."""
    return _digest(select_temperatures(connection, source))


def _refuse_odd_years(temperatures: Temperatures) -> None:
    """Refuse what would make every later reckoning with the place fail."""
    for one in (temperatures,) if isinstance(temperatures, Constant) else temperatures:
        years: tuple[int, ...]
        match one:
            case Constant():
                years = (one.start.year, one.end.year)
            case DailyReading():
                years = (one.day.year,)
            case Reading():
                years = (one.moment.year,)
        for year in years:
            if year not in YEARS:
                raise UsageError(f"temperatures of the year {year} cannot be", cure="Correct it")


def _insert(
    connection: Connection, source_id: int,
    temperatures: tuple[DailyReading, ...] | tuple[Reading, ...],
) -> None:  # fmt: skip
    if isinstance(temperatures[0], DailyReading):
        table = daily_temperatures
        rows = [
            {"source_id": source_id, "day": one.day, "min_c": one.min_c, "max_c": one.max_c}
            for one in temperatures
            if isinstance(one, DailyReading)
        ]
    else:
        table = temperature_readings
        rows = [
            {"source_id": source_id, "moment": one.moment, "air_c": one.air_c}
            for one in temperatures
            if isinstance(one, Reading)
        ]
    for several in in_parts(rows, _AT_ONCE):
        connection.execute(insert(table), several)


def _digest(temperatures: Temperatures) -> str:
    """Return the SHA-256 of one line a temperature: moment or day, then degrees C exactly."""
    digest = hashlib.sha256()
    several = (temperatures,) if isinstance(temperatures, Constant) else temperatures
    for one in several:
        match one:
            case Constant():
                line = f"{moment_text(one.start)} {moment_text(one.end)} {float(one.air_c)!r}"
            case DailyReading():
                line = f"{one.day.isoformat()} {float(one.min_c)!r} {float(one.max_c)!r}"
            case Reading():
                line = f"{moment_text(one.moment)} {float(one.air_c)!r}"
        digest.update(f"{line}\n".encode())
    return digest.hexdigest()


def _kind(temperatures: Temperatures) -> str:
    if isinstance(temperatures, Constant):
        return "constant"
    return "daily" if isinstance(temperatures[0], DailyReading) else "readings"


def _source(row: Row[Any]) -> TemperatureSource:
    return TemperatureSource(
        row.id, row.place, row.kind, row.zone, row.file_name, row.recorded_by, row.recorded_at
    )
