"""Every column of every table: an alteration behind the program's back is found, or refused.

The columns come from the tables' metadata, so that a new one is asked about by itself.
"""

from __future__ import annotations

from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING, Any

import pytest
import sqlalchemy as sa
from sqlalchemy.exc import DataError, IntegrityError

from spikecheck.store.database import Database
from spikecheck.store.moments import UtcDateTime
from spikecheck.store.practice_session import DrawnPhoto, GivenAnswer, MadeDecision
from spikecheck.store.practice_tables import metadata
from spikecheck.store.verification import verify
from spikecheck.vocabulary import CrossingSession, Step, Verdict
from spikecheck.vocabulary.plan import PlannedCross, PlannedParent
from spikecheck.vocabulary.steps import (
    Bagged,
    Emasculated,
    GivenUp,
    Harvested,
    Pollinated,
    Rebagged,
    SeedTested,
    Selected,
    Tagged,
    ThirdCount,
    Threshed,
)
from spikecheck.vocabulary.temperatures import Constant, DailyReading, Reading
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from sqlalchemy import Column, Connection, Row

    from spikecheck.store import NewCheck, Store

AGO = datetime.now(UTC) - timedelta(days=10)
# Words that a rule of a table may ask for.
_WORDS = (
    "pass", "review", "daily", "readings", "constant",
    "rendered", "reviewed", "signed off", "more practice",
)  # fmt: skip
# The database itself holds these: numbers of rows that others point at, the one row of the head.
_REFUSED = {
    "chain_head.id",
    "checks.id",
    "practice_sessions.id",
    "spike_states.spike_id",
    "spikes.id",
}


@pytest.fixture
def season(store: Store, make_check: Callable[..., NewCheck]) -> Store:
    """Something in every table and in every column.

    Of overrides and changed numbers there are two: their ids mean nothing but their order, which
    an altered id of the first one turns round.
    """
    plan = PlannedCross(
        "C-1", PlannedParent("Ferra", "IN 113", "", "P 4"), PlannedParent("Olmo"),
        note="early", purpose="rust", seeds_wanted=40, project="R",
    )  # fmt: skip
    store.plans.add(plan, by="Ida")
    store.plans.add(planned("C-2", "Tarn", "Olmo"))
    store.plans.change("C-2", {"note": "late"}, by="Bo", reason="asked")
    store.sessions.add(CrossingSession("S1", date(2026, 5, 4), "House 2", ("Ida", "Bo"), "warm"))
    store.sessions.add(CrossingSession("S2", date(2026, 5, 5), "House 3", ()))
    _go_all_the_way(store, make_check)
    store.plans.add(planned("C-3", "Tarn", "Ferra"))
    store.spikes.add("C-2", 1, _did(Tagged("TAG2"), 0))
    store.add_check(make_check(), cross="C-2", spike=1, by="Bo", at=AGO)
    store.spikes.add("C-2", 1, _did(GivenUp("broken"), 1))
    moment = datetime(2026, 5, 4, 7, tzinfo=UTC)
    for each in (
        (DailyReading(date(2026, 5, 4), 8, 21), DailyReading(date(2026, 5, 5), 9, 22)),
        (Reading(moment, 20.5),),
        Constant(20.5, moment, moment + timedelta(days=90)),
    ):
        store.temperatures.add("House 2", each, zone="UTC", by="Bo", file_name="a.csv")
    store.numbers.add("wheat", "base_c", 1.0, by="Bo", reason="own trial")
    store.numbers.add("wheat", "base_c", 1.5, by="Ida", reason="second trial")
    _practise(store)
    return store


def _practise(store: Store) -> None:
    """Ida answers two photos of three, which decides, Bo one of two."""
    photos = [DrawnPhoto(f"{n}" * 64, "rendered", '{"leftovers": []}') for n in range(3)]
    hers = store.practice.begin("Ida", seed=7, numbers='{"block_s": 9}', photos=photos, at=AGO)
    his = store.practice.begin("Bo", seed=8, numbers="{}", photos=photos[:2], at=AGO)
    decision = MadeDecision("signed off", 17, 0, 20, 3)
    for session, position, made in ((hers, 0, decision), (hers, 1, None), (his, 0, None)):
        store.practice.show(session.id, position, at=AGO)
        given = GivenAnswer(Verdict.REVIEW, "[[1.5, 2.0]]", AGO + timedelta(minutes=3))
        store.practice.answer(session.id, position, given, decision=made)


def _did(detail: object, hours: float, session: str = "") -> Step:
    return Step(detail, AGO + timedelta(hours=hours), "Ida", session)  # type: ignore[arg-type]


def _go_all_the_way(store: Store, make_check: Callable[..., NewCheck]) -> None:
    for hours, detail in enumerate((Selected(55), Tagged("TAG"), Emasculated(20, 57, "clip"))):
        store.spikes.add("C-1", 3, _did(detail, hours, "S1"))
    wrong = store.spikes.entries("C-1", 3)[-1].number
    cut = _did(Emasculated(20, 60, "clip"), 2, "S1")
    store.spikes.correct("C-1", 3, wrong, cut, by="Bo", reason="counted again")
    check = store.add_check(
        make_check(faces=2), cross="C-1", spike=3, by="Ida", at=AGO + timedelta(hours=3)
    )
    for verdict, reason in ((Verdict.REVIEW, "not sure"), (Verdict.PASS, "palea")):
        store.override(check.id, "Bo", reason, verdict, at=AGO + timedelta(hours=4))
    thirds = (ThirdCount(3, 6), ThirdCount(6, 8), ThirdCount(3, 6))
    for hours, detail in enumerate(
        (Bagged(), Pollinated("Olmo", AGO), Rebagged(), Harvested(), Threshed(12, 20, thirds),
         SeedTested(8, 1))
    ):  # fmt: skip
        store.spikes.add("C-1", 3, _did(detail, 5 + hours))


class _Within(Database):
    """What a transaction that never ends has changed, read as if it were kept."""

    def __init__(self, store: Store, connection: Connection) -> None:
        super().__init__(store._database.engine, location=store.location)
        self._connection = connection

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        yield self._connection


def test_every_column_of_every_table_is_compared(season: Store):
    refused, unseen = set(), []
    with season._database.engine.connect() as connection:
        altered = _Within(season, connection)
        assert verify(altered, season._photos).faults == ()
        for column in [column for table in metadata.sorted_tables for column in table.c]:
            told = [
                bool(verify(altered, season._photos).faults)
                for _ in _alterations(connection, column)
            ]
            if not told:
                refused.add(str(column))
            if not all(told):
                unseen.append(str(column))
        assert verify(altered, season._photos).faults == ()
    assert unseen == []
    assert refused == _REFUSED


def _alterations(connection: Connection, column: Column[Any]) -> Iterator[None]:
    """Alter the column in the first row with a value that lets it, and in the first without one."""
    query = sa.select(column.table).order_by(*column.table.primary_key)
    for which in (column.is_not(None), column.is_(None)):
        for row in connection.execute(query.where(which)).all():
            altered = False
            for value in _others(connection, column, getattr(row, column.name)):
                nested = connection.begin_nested()
                if _set(connection, column, row, value):
                    altered = True
                    yield
                nested.rollback()
            if altered:
                break


def _others(connection: Connection, column: Column[Any], value: object) -> list[object]:
    """Return values of the column's type that differ from ``value``, the least bit where it can."""
    others: list[object] = []
    for key in column.foreign_keys:
        others += connection.execute(sa.select(key.column).limit(5)).scalars()
    match value:
        case bool():
            others.append(not value)
        case int():
            others.append(value + 1000)
        case float():
            others.append(value + 2.0**-40)
        case datetime():
            others.append(value + timedelta(microseconds=1))
        case date():
            others.append(value + timedelta(days=1))
        case str():
            others += (
                _WORDS if _ruled(column) else [value[:-1] + ("y" if value[-1:] == "x" else "x")]
            )
        case None:
            others.append(_something(column.type))
    if column.nullable:
        others.append(None)
    return [other for other in others if other != value]


def _something(kind: sa.types.TypeEngine[Any]) -> object:
    return AGO if isinstance(kind, UtcDateTime) else kind.python_type(1)


def _ruled(column: Column[Any]) -> bool:
    """Return whether the table has a rule of which words the column takes."""
    rules = [one for one in column.table.constraints if isinstance(one, sa.CheckConstraint)]
    return any(f"{column.name} IN" in str(rule.sqltext) for rule in rules)


def _set(connection: Connection, column: Column[Any], row: Row[Any], value: object) -> bool:
    """Alter one value of one row; return whether the database lets it."""
    table = column.table
    same = sa.and_(*(key == getattr(row, key.name) for key in table.primary_key))
    try:
        connection.execute(sa.update(table).where(same).values({column.name: value}))
    except (IntegrityError, DataError):
        return False
    return True
