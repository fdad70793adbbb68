from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest

from spikecheck.store import season_tables as season
from spikecheck.vocabulary import Verdict

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from spikecheck.store import NewCheck, Store
    from tests.postgresql_server import PostgresqlServer


@pytest.fixture
def full_store(store: Store, make_check: Callable[..., NewCheck]) -> Store:
    """A store with something of everything in it: each kind of column, photos, corrections."""
    store.add_cross("W26-014", "Ferra", "Olmo", "short\n\tstraw \N{EAR OF RICE} ' \" \\ %s")
    store.add_cross("W26-015", "Tarn", "Olmo")
    first = store.add_check(make_check(faces=2), cross="W26-014", spike=1, by="Ida")
    store.add_check(make_check(Verdict.PASS, mark="b"), cross="W26-014", spike=2, by="Bo")
    store.add_check(make_check(), cross="W26-015", spike=1, by="Ida")  # a photo that is there
    store.override(first.id, "Bo", "the anther is a shadow")
    moment = datetime(2026, 6, 1, 4, 30, 0, 123456, tzinfo=UTC)
    with store._database.writing() as connection:
        source = connection.execute(
            season.temperature_sources.insert()
            .values(
                place="tunnel 2", kind="readings", zone="Europe/Oslo", file_name="logger.csv",
                sha256="c" * 64, recorded_by="Ida", recorded_at=moment,
            )
            .returning(season.temperature_sources.c.id)
        ).scalar_one()  # fmt: skip
        connection.execute(
            season.temperature_readings.insert(),
            [{"source_id": source, "moment": moment, "air_c": value} for value in (0.1 + 0.2,)],
        )
        connection.execute(
            season.daily_temperatures.insert().values(
                source_id=source, day=date(2026, 6, 1), min_c=-17.5, max_c=1e300
            )
        )
    return store


@pytest.fixture(params=["a folder", "PostgreSQL"])
def target(
    full_store: Store,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    request: pytest.FixtureRequest,
) -> Iterator[str]:
    """Where to restore to: a place that is empty."""
    if request.param == "a folder":
        yield str(tmp_path / "restored")
        return
    server: PostgresqlServer = request.getfixturevalue("postgresql")
    monkeypatch.setenv("SPIKECHECK_PHOTOS", str(tmp_path / "restored photos"))
    with server.new_database("restored") as address:
        yield address
