"""Revisions that go up and down while records are there: what the history says stays told."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest
import sqlalchemy as sa
from alembic import command

from spikecheck.errors import DuplicateCrossError
from spikecheck.store import open_store
from spikecheck.store.chain_writer import ChainWriter
from spikecheck.store.engine import make_engine, writing
from spikecheck.store.location import find_place
from spikecheck.store.moments import UtcDateTime
from spikecheck.store.practice_session import DrawnPhoto
from spikecheck.store.revisions import migration_config
from spikecheck.vocabulary import Verdict
from spikecheck.vocabulary.plan import PlannedCross, PlannedParent
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from spikecheck.store import NewCheck

MORNING = datetime(2026, 5, 3, 8, tzinfo=UTC)


@pytest.fixture
def engine(empty_database: str) -> Iterator[sa.Engine]:
    made = make_engine(find_place(empty_database).url, wait_s=0.2)
    yield made
    made.dispose()


def to(engine: sa.Engine, revision: str) -> None:
    """Take the database down to an earlier revision."""
    with writing(engine) as connection:
        command.downgrade(migration_config(connection), revision)


def test_who_overrode_is_known_again_after_the_revision_of_the_audit(
    engine: sa.Engine, empty_database: str, make_check: Callable[..., NewCheck]
):
    with open_store(empty_database) as store:
        store.plans.add(planned("C-1", "Ferra", "Olmo"))
        first = store.add_check(make_check(), cross="C-1", spike=1, by="Ida")
        store.override(first.id, "Bo", "palea", Verdict.REVIEW)
        store.override(first.id, "Rut", "an awn", Verdict.PASS)
        store.add_check(make_check(), cross="C-1", spike=2, by="Ida")
        before = (store.head(), store.spikes.of_cross("C-1"))
    to(engine, "0003")
    assert "overridden_by" not in {
        column["name"] for column in sa.inspect(engine).get_columns("spike_states")
    }
    with open_store(empty_database) as store:
        assert (store.head(), store.spikes.of_cross("C-1")) == before
        assert [one.overridden_by for one in before[1]] == ["Rut", ""]
        assert store.verify().faults == ()


def test_two_ids_of_older_records_that_differ_in_capitals_alone_both_stay(
    engine: sa.Engine, empty_database: str
):
    with open_store(empty_database) as store:
        for name in ("M-01", "Straße", "x"):
            store.plans.add(planned(name, "Ferra", "Olmo"))
        store.plans.add(PlannedCross("m-02", PlannedParent("Ferra"), PlannedParent("Olmo")))
    to(engine, "0004")
    _record_as_before(engine, "M-01", "m-01")
    with open_store(empty_database) as store:
        assert {one.cross.id for one in store.crosses()} == {"M-01", "m-01", "m-02", "Straße", "x"}
        assert [store.cross(name).id for name in ("M-01", "m-01")] == ["M-01", "m-01"]
        for name in ("M-01", "m-01"):
            with pytest.raises(DuplicateCrossError, match=f"{name} is recorded already"):
                store.plans.add(planned(name, "Ferra", "Olmo"))
        with pytest.raises(DuplicateCrossError, match="differs from Straße in capital letters"):
            store.plans.add(planned("STRASSE", "Ferra", "Olmo"))
        store.plans.change("m-01", {"note": "late"}, by="Bo", reason="asked")
        assert store.verify().faults == ()


def _record_as_before(engine: sa.Engine, like: str, name: str) -> None:
    """Write a cross as the revision before did, with its entry in the chain."""
    crosses = sa.Table("crosses", sa.MetaData(), autoload_with=engine)
    with writing(engine) as connection:
        row = connection.execute(sa.select(crosses).where(crosses.c.id == like)).mappings().one()
        with ChainWriter(connection) as chain:
            moment = UtcDateTime().process_bind_param(chain.moment, engine.dialect)
            values = {**row, "id": name, "created_at": moment}
            connection.execute(sa.insert(crosses).values(**values))
            body = {key: value for key, value in values.items() if key not in ("id", "created_at")}
            chain.add("cross_planned", {"data": {"cross": name, **body}}, by="")


def test_practice_taken_away_by_a_revision_is_missed_and_nothing_else_is(
    engine: sa.Engine, empty_database: str, make_check: Callable[..., NewCheck]
):
    """Tables that are dropped leave their entries: the history tells that they are gone."""
    with open_store(empty_database) as store:
        store.plans.add(planned("C-1", "Ferra", "Olmo"))
        store.add_check(make_check(), cross="C-1", spike=1, by="Ida")
        photos = [DrawnPhoto("a" * 64, "rendered", "{}")]
        store.practice.begin("Mira", seed=1, numbers="{}", photos=photos, at=MORNING)
        head = store.head()
    to(engine, "0002")
    assert not {name for name in sa.inspect(engine).get_table_names() if "practice" in name}
    with open_store(empty_database) as store:
        assert store.head() == head
        assert store.practice.people() == ()
        assert len(store.checks("C-1")) == 1
        faults = store.verify().faults
        assert faults
        assert all("practice" in fault for fault in faults), faults
