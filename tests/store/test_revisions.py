"""The tables: what the revisions make is what the code expects, in every database."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import sqlalchemy as sa
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.operations import Operations
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy.exc import IntegrityError

from spikecheck.errors import StoreError
from spikecheck.store import open_store
from spikecheck.store.engine import make_engine, writing
from spikecheck.store.location import find_place
from spikecheck.store.practice_tables import metadata
from spikecheck.store.revisions import HEAD, migration_config
from spikecheck.vocabulary import Verdict
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from spikecheck.store import NewCheck, Store


@pytest.fixture
def engine(empty_database: str) -> Iterator[sa.Engine]:
    made = make_engine(find_place(empty_database).url, wait_s=0.2)
    yield made
    made.dispose()


def _tables(engine: sa.Engine) -> set[str]:
    return set(sa.inspect(engine).get_table_names()) - {"alembic_version"}


def test_head_named_in_code_is_the_newest_revision(engine: sa.Engine):
    with engine.connect() as connection:
        heads = ScriptDirectory.from_config(migration_config(connection)).get_heads()
    assert heads == [HEAD]


def test_revisions_make_exactly_the_tables_of_the_code(engine: sa.Engine):
    with writing(engine) as connection:
        command.upgrade(migration_config(connection), "head")
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, metadata) == []


def test_a_difference_would_be_found(engine: sa.Engine):
    with writing(engine) as connection:
        command.upgrade(migration_config(connection), "head")
        connection.exec_driver_sql("ALTER TABLE crosses ADD COLUMN colour TEXT")
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        differences = compare_metadata(context, metadata)
    assert [difference[0] for difference in differences] == ["remove_column"]


def test_constraints_have_the_same_names_and_rules_in_code_and_revision(engine: sa.Engine):
    def checks() -> dict[str, set[tuple[str, str]]]:
        inspector = sa.inspect(engine)
        return {
            name: {
                (rule["name"] or "", rule["sqltext"])
                for rule in inspector.get_check_constraints(name)
            }
            for name in metadata.tables
        }

    with writing(engine) as connection:
        metadata.create_all(connection)
    by_code = checks()
    with writing(engine) as connection:
        metadata.drop_all(connection)
        command.upgrade(migration_config(connection), "head")
    assert checks() == by_code
    assert sum(len(rules) for rules in by_code.values()) == 9


def test_up_down_and_up_again(engine: sa.Engine):
    with writing(engine) as connection:
        command.upgrade(migration_config(connection), "head")
    assert _tables(engine) == set(metadata.tables)
    with writing(engine) as connection:
        command.downgrade(migration_config(connection), "base")
    assert _tables(engine) == set()
    with writing(engine) as connection:
        command.upgrade(migration_config(connection), "head")
    assert _tables(engine) == set(metadata.tables)


def test_upgrade_that_fails_leaves_nothing(
    empty_database: str, monkeypatch: pytest.MonkeyPatch, engine: sa.Engine
):
    def fail(self: Operations, *_given: object, **_named: object) -> None:
        raise RuntimeError("stopped halfway")

    with monkeypatch.context() as patch:
        patch.setattr(Operations, "create_index", fail)
        with (
            pytest.raises(RuntimeError, match="stopped halfway"),
            open_store(empty_database),
        ):
            pass
    assert sa.inspect(engine).get_table_names() == []
    with open_store(empty_database) as store:
        assert store.crosses() == ()


def test_records_of_a_newer_version_are_refused_untouched(empty_database: str, engine: sa.Engine):
    open_store(empty_database).close()
    with writing(engine) as connection:
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = '9001'")
    with pytest.raises(
        StoreError,
        match=r"a newer spikecheck wrote these records \(revision 9001\)\. Install the newest",
    ):
        open_store(empty_database)
    with engine.connect() as connection:
        found = connection.exec_driver_sql("SELECT version_num FROM alembic_version")
        assert found.scalars().all() == ["9001"]


@pytest.mark.parametrize("has_versions", [False, True])
def test_database_of_another_program_is_refused_untouched(
    empty_database: str, engine: sa.Engine, *, has_versions: bool
):
    """Also when that program keeps a table of versions under the same name."""
    with writing(engine) as connection:
        connection.exec_driver_sql("CREATE TABLE stamps (id INTEGER)")
        if has_versions:
            connection.exec_driver_sql("CREATE TABLE alembic_version (version_num VARCHAR(32))")
            connection.exec_driver_sql("INSERT INTO alembic_version VALUES ('0001')")
    with pytest.raises(StoreError, match=r"the database belongs to another program\. Give one"):
        open_store(empty_database)
    assert _tables(engine) == {"stamps"}


@pytest.mark.parametrize(
    "statement",
    [
        "INSERT INTO spikes (cross_id, number) VALUES ('nobody', 1)",
        "INSERT INTO spikes (cross_id, number) VALUES ('A', 0)",
        "INSERT INTO spikes (cross_id, number) VALUES ('A', 1)",
        "UPDATE checks SET verdict = 'maybe'",
        "DELETE FROM crosses",
        "DELETE FROM checks",
        "INSERT INTO overrides VALUES (1, 1, 'Bo', '2026-06-01 00:00:00', 'pass', '')",
    ],
)
def test_database_itself_refuses_what_must_not_be(
    store: Store, make_check: Callable[..., NewCheck], statement: str
):
    store.plans.add(planned("A", "Ferra", "Olmo"))
    store.add_check(make_check(), cross="A", spike=1, by="Ida")
    with pytest.raises(IntegrityError), writing(store._database.engine) as connection:
        connection.exec_driver_sql(statement)
    assert len(store.checks("A")) == 1


def test_records_of_the_first_revision_get_their_history(
    engine: sa.Engine, empty_database: str, tmp_path: Path
):
    with writing(engine) as connection:
        command.upgrade(migration_config(connection), "0001")
        for statement in (
            "INSERT INTO crosses VALUES ('C-1', 'Ferra', 'Olmo', 'early', '2026-05-01 07:00:00')",
            "INSERT INTO crosses VALUES ('C-2', 'Olmo', 'Tarn', '', '2026-05-02 07:00:00')",
            "INSERT INTO spikes VALUES (1, 'C-1', 3)",
            "INSERT INTO spikes VALUES (2, 'C-2', 1)",
            f"INSERT INTO checks VALUES {_check_row(1, 1, '2026-05-03 07:00:00')}",
            f"INSERT INTO checks VALUES {_check_row(2, 2, '2026-05-03 08:00:00')}",
            "INSERT INTO overrides VALUES (1, 1, 'Bo', '2026-05-03 07:30:00', 'pass', 'palea')",
        ):
            connection.exec_driver_sql(statement)
    with open_store(empty_database) as store:
        found = store.verify()
        assert found.faults == ()
        # Three parents, two crosses, two checks, one override.
        assert (found.entries, found.spikes) == (8, 2)
        record = store.spikes.one("C-1", 3)
        assert (record.verdict, record.computed_verdict) == (Verdict.PASS, Verdict.REVIEW)
        assert store.spikes.one("C-2", 1).verdict is Verdict.REVIEW
        assert [one.name for one in store.plans.parents()] == ["Ferra", "Olmo", "Tarn"]
        assert store.cross("C-1").crop == "wheat"


def test_clock_set_back_before_the_history_changes_no_verdict(
    engine: sa.Engine, empty_database: str
):
    """Of two checks and of two overrides the one written later held, and holds."""
    with writing(engine) as connection:
        command.upgrade(migration_config(connection), "0001")
        for statement in (
            "INSERT INTO crosses VALUES ('C-1', 'Ferra', 'Olmo', '', '2026-05-01 07:00:00')",
            "INSERT INTO spikes VALUES (1, 'C-1', 3)",
            f"INSERT INTO checks VALUES {_check_row(1, 1, '2026-05-03 09:00:00')}",
            f"INSERT INTO checks VALUES {_check_row(2, 1, '2026-05-03 08:00:00')}",
            "INSERT INTO overrides VALUES (1, 2, 'Bo', '2026-05-03 08:30:00', 'pass', 'palea')",
            "INSERT INTO overrides VALUES (2, 2, 'Bo', '2026-05-03 08:20:00', 'review', 'no')",
        ):
            connection.exec_driver_sql(statement)
    with open_store(empty_database) as store:
        assert store.verify().faults == ()
        record = store.spikes.one("C-1", 3)
        assert (record.check, record.verdict, record.overridden) == (2, Verdict.REVIEW, True)
        newer, older = store.checks("C-1")
        assert newer.standing_verdict is Verdict.REVIEW
        assert newer.at < older.at  # kept as it was written


def _check_row(number: int, spike: int, at: str) -> str:
    sha = "a" * 64
    return (
        f"({number}, {spike}, 'Ida', '{at}', 'review', '{{}}', 'net', '3', '{sha}', '{sha}', '0.1')"
    )
