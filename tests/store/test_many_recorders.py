"""Several programs at once in one store: they lose nothing, and only one makes what is new."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from pathlib import Path

import sqlalchemy as sa

from spikecheck.store import open_store
from spikecheck.store.engine import make_engine
from spikecheck.store.location import find_place
from spikecheck.store.revisions import HEAD
from spikecheck.store.season_tables import entries
from spikecheck.store.tables import metadata
from tests.store.together import run_together

_PROGRAM = Path(__file__).with_name("recorder_process.py")
_ROUNDS = 12


def test_recorders_lose_nothing_and_one_makes_each_cross(location: str):
    names = ("Ida", "Bo")
    told = run_together(_PROGRAM, names, lambda name: (location, name, _ROUNDS))
    crosses = {f"W26-{number}" for number in range(_ROUNDS)}
    assert Counter(cross for each in told.values() for cross in each["made"]) == Counter(crosses)
    for each in told.values():
        assert {*each["made"], *each["lost"]} == crosses
    with open_store(location) as store:
        found = [check for cross in crosses for check in store.checks(cross)]
        for cross in crosses:
            maker = next(name for name in names if cross in told[name]["made"])
            assert store.cross(cross).female == f"by {maker}"
            assert store.cross(cross).note == maker
        for check in found:
            assert store.photo(check.photos[0]).endswith(
                f"{check.by} {check.cross.removeprefix('W26-')}".encode()
            )
        assert [summary.spikes for summary in store.crosses()] == [1] * _ROUNDS
        with store._database.reading() as connection:
            chain = connection.execute(sa.select(entries).order_by(entries.c.number)).all()
    assert [entry.number for entry in chain] == list(range(1, len(chain) + 1))
    assert all(later.previous_hash == entry.hash for entry, later in pairwise(chain))
    for name in names:
        mine = {(check.id, check.cross, check.spike) for check in found if check.by == name}
        assert mine == {tuple(entry) for entry in told[name]["checks"]}
        overridden = [check.id for check in found for word in check.overrides if word.by == name]
        assert sorted(overridden) == sorted(told[name]["overridden"])


def test_programs_that_open_a_new_database_at_once_make_its_tables_once(empty_database: str):
    told = run_together(_PROGRAM, ("Ida", "Bo", "Ann"), lambda name: (empty_database, name, 1))
    assert sum(len(each["made"]) for each in told.values()) == 1
    engine = make_engine(find_place(empty_database).url, wait_s=1.0)
    with engine.connect() as connection:
        versions = connection.exec_driver_sql("SELECT version_num FROM alembic_version")
        assert versions.scalars().all() == [HEAD]
    assert set(sa.inspect(engine).get_table_names()) == {*metadata.tables, "alembic_version"}
    engine.dispose()
