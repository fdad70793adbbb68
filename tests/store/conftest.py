"""A store in each kind of database: a test that asks for one runs on SQLite and on PostgreSQL."""

from __future__ import annotations

import itertools
import os
from typing import TYPE_CHECKING

import pytest
import sqlalchemy as sa

from spikecheck.history.chain import BEGINNING
from spikecheck.store import NewCheck, NewPhoto, open_store, practice_tables, season_tables
from spikecheck.store.engine import make_engine, writing
from spikecheck.vocabulary import ModelIdentity, Verdict

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from spikecheck.store import Store
    from tests.postgresql_server import PostgresqlServer

JPEG = b"\xff\xd8\xff\xe0 invented photo "
PNG = b"\x89PNG\r\n\x1a\n invented overlay "
_NUMBERS = itertools.count()


@pytest.fixture(autouse=True)
def _no_store_of_the_user(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in list(os.environ):
        if name in {"SPIKECHECK_STORE", "SPIKECHECK_PHOTOS"} or name.startswith("PG"):
            monkeypatch.delenv(name)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "records"


@pytest.fixture(params=["sqlite", "postgresql"])
def database(request: pytest.FixtureRequest) -> str:
    """The kind of database."""
    return request.param


@pytest.fixture
def empty_database(
    database: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> Iterator[str]:
    """The address of a database without tables; photos go to a folder beside the test's."""
    photos = tmp_path / "photos of the database"
    photos.mkdir()
    monkeypatch.setenv("SPIKECHECK_PHOTOS", str(photos))
    if database == "sqlite":
        yield f"sqlite:///{tmp_path / 'own.db'}"
        return
    server: PostgresqlServer = request.getfixturevalue("postgresql")
    with server.new_database(f"empty_{next(_NUMBERS)}") as address:
        yield address


@pytest.fixture
def location(
    database: str, folder: Path, monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> Iterator[str]:
    """Where a new store goes: a folder, or a database whose photos go to that folder."""
    if database == "sqlite":
        yield str(folder)
        return
    address: str = request.getfixturevalue("migrated")
    folder.mkdir()
    monkeypatch.setenv("SPIKECHECK_PHOTOS", str(folder / "photos"))
    _empty(address)
    yield address


@pytest.fixture(scope="session")
def migrated(
    postgresql: PostgresqlServer, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[str]:
    """The address of a database with the tables in place, which every test gets without rows."""
    with postgresql.new_database("with_tables") as address, pytest.MonkeyPatch.context() as patch:
        patch.setenv("SPIKECHECK_PHOTOS", str(tmp_path_factory.mktemp("photos")))
        open_store(address).close()
        yield address


def _empty(address: str) -> None:
    """Take every row away: a tenth of the time that a new database takes."""
    # A test may have set the database to be read only.
    url = sa.make_url(address).set(drivername="postgresql+psycopg")
    url = url.update_query_dict({"options": "-c default_transaction_read_only=off"})
    engine = make_engine(url, wait_s=5)
    names = ", ".join(f'"{name}"' for name in practice_tables.metadata.tables)
    with writing(engine) as connection:
        connection.exec_driver_sql('ALTER DATABASE "with_tables" RESET ALL')
        connection.exec_driver_sql(f"TRUNCATE {names} RESTART IDENTITY CASCADE")
        connection.execute(season_tables.chain_head.insert().values(id=1, number=0, hash=BEGINNING))
    engine.dispose()


@pytest.fixture
def store(location: str) -> Iterator[Store]:
    with open_store(location, wait_s=0.2) as opened:
        yield opened


@pytest.fixture
def sqlite_store(folder: Path) -> Iterator[Store]:
    with open_store(str(folder), wait_s=0.2) as opened:
        yield opened


@pytest.fixture
def kept_photos(folder: Path) -> Callable[[], list[Path]]:
    """What lists the files in the photo folder of the store."""
    return lambda: [path for path in (folder / "photos").rglob("*") if path.is_file()]


@pytest.fixture(scope="session")
def make_check() -> Callable[..., NewCheck]:
    def make(verdict: Verdict = Verdict.REVIEW, faces: int = 1, mark: str = "a") -> NewCheck:
        return NewCheck(
            verdict=verdict,
            result='{"schema": "spikecheck.result/1"}',
            model=ModelIdentity("invented", "3", "a" * 64),
            thresholds_sha256="b" * 64,
            software_version="0.1",
            photos=tuple(
                NewPhoto(
                    f"DCIM/face {face}.jpg",
                    JPEG + f"{mark}{face}".encode(),
                    PNG + f"{mark}{face}".encode(),
                )
                for face in range(faces)
            ),
        )

    return make
