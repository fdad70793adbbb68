"""The tables: what the revisions make is what the code expects, in every database."""

from __future__ import annotations

import io
import sqlite3
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
from spikecheck.store.revisions import HEAD, migration_config
from spikecheck.store.tables import metadata

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from spikecheck.store import NewCheck, Store


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[sa.Engine]:
    made = make_engine(sa.make_url(f"sqlite:///{tmp_path / 'own.db'}"), wait_s=0.2)
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
    assert sum(len(rules) for rules in by_code.values()) == 4


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
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, engine: sa.Engine
):
    def fail(self: Operations, *_given: object, **_named: object) -> None:
        raise sqlite3.OperationalError("stopped halfway")

    with monkeypatch.context() as patch:
        patch.setattr(Operations, "create_index", fail)
        with (
            pytest.raises(sqlite3.OperationalError, match="stopped halfway"),
            open_store(f"sqlite:///{tmp_path / 'own.db'}"),
        ):
            pass
    assert sa.inspect(engine).get_table_names() == []
    with open_store(f"sqlite:///{tmp_path / 'own.db'}") as store:
        assert store.crosses() == ()


def test_records_of_a_newer_version_are_refused_untouched(folder: Path):
    open_store(str(folder)).close()
    database = sqlite3.connect(folder / "spikecheck.sqlite", isolation_level=None)
    database.execute("UPDATE alembic_version SET version_num = '9001'")
    try:
        with pytest.raises(
            StoreError,
            match=r"a newer spikecheck wrote these records \(revision 9001\)\. Install the newest",
        ):
            open_store(str(folder))
        assert database.execute("SELECT version_num FROM alembic_version").fetchall() == [("9001",)]
    finally:
        database.close()


def test_database_of_another_program_is_refused_untouched(folder: Path):
    folder.mkdir()
    database = sqlite3.connect(folder / "spikecheck.sqlite", isolation_level=None)
    database.execute("CREATE TABLE stamps (id INTEGER)")
    try:
        with pytest.raises(StoreError, match=r"the database belongs to another program\. Give one"):
            open_store(str(folder))
        names = database.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
        assert names == [("stamps",)]
    finally:
        database.close()


def test_first_revision_is_written_for_postgresql_too(engine: sa.Engine):
    """Rendered without a server: shows that nothing in it is for SQLite alone."""
    with engine.connect() as connection:
        script = ScriptDirectory.from_config(migration_config(connection))
    written = io.StringIO()
    context = MigrationContext.configure(
        dialect_name="postgresql", opts={"as_sql": True, "output_buffer": written}
    )
    with Operations.context(context):
        for revision in reversed(list(script.walk_revisions())):
            revision.module.upgrade()
    assert "created_at TIMESTAMP WITH TIME ZONE NOT NULL" in written.getvalue()
    assert written.getvalue().count("SERIAL") == 3


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
    store.add_cross("A", "Ferra", "Olmo")
    store.add_check(make_check(), cross="A", spike=1, by="Ida")
    with pytest.raises(IntegrityError), writing(store._engine) as connection:
        connection.exec_driver_sql(statement)
    assert len(store.checks("A")) == 1
