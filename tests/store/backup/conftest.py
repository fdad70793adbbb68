from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from spikecheck.store import open_store
from spikecheck.store.practice_session import DrawnPhoto, GivenAnswer, MadeDecision
from spikecheck.vocabulary import Verdict
from spikecheck.vocabulary.temperatures import Constant, DailyReading, Reading
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from spikecheck.store import NewCheck, Store
    from spikecheck.vocabulary.temperatures import Temperatures
    from tests.postgresql_server import PostgresqlServer


@pytest.fixture
def full_store(store: Store, make_check: Callable[..., NewCheck]) -> Store:
    """A store with something of everything in it."""
    _fill(store, make_check)
    return store


@pytest.fixture(scope="session")
def backup_of_a_folder(
    tmp_path_factory: pytest.TempPathFactory, make_check: Callable[..., NewCheck]
) -> bytes:
    """The bytes of a backup of such a store in a folder."""
    folder = tmp_path_factory.mktemp("to back up")
    with open_store(str(folder / "records")) as store:
        _fill(store, make_check)
        store.back_up(folder / "backup.zip")
    return (folder / "backup.zip").read_bytes()


def _fill(store: Store, make_check: Callable[..., NewCheck]) -> None:
    """Record each kind of column, photos, and what was said against a check."""
    store.plans.add(
        planned("W26-014", "Ferra", "Olmo", note="short\n\tstraw \N{EAR OF RICE} ' \" \\ %s")
    )
    store.plans.add(planned("W26-015", "Tarn", "Olmo"))
    first = store.add_check(make_check(faces=2), cross="W26-014", spike=1, by="Ida")
    store.add_check(make_check(Verdict.PASS, mark="b"), cross="W26-014", spike=2, by="Bo")
    store.add_check(make_check(), cross="W26-015", spike=1, by="Ida")  # a photo that is there
    store.override(first.id, "Bo", "the anther is a shadow")
    moment = datetime(2026, 6, 1, 4, 30, 0, 123456, tzinfo=UTC)
    temperatures: list[Temperatures] = [
        (Reading(moment, 0.1 + 0.2),),
        (DailyReading(date(2026, 6, 1), -17.5, 1.0 / 3.0),),
        Constant(20.5, moment, moment + timedelta(days=90)),
    ]
    for each in temperatures:
        store.temperatures.add("tunnel 2", each, zone="Europe/Oslo", by="Ida", file_name="a.csv")
    store.numbers.add("wheat", "base_c", 1.5, by="Ida", reason="own trial")
    drawn = [DrawnPhoto("c" * 64, "reviewed", '{"leftovers": []}')]
    session = store.practice.begin("Ida", seed=3, numbers="{}", photos=drawn, at=moment)
    store.practice.show(session.id, 0, at=moment)
    store.practice.answer(
        session.id, 0, GivenAnswer(Verdict.PASS, "[]", moment),
        decision=MadeDecision("more practice", 4, 3, 2, 0),
    )  # fmt: skip


@pytest.fixture(params=["a folder", "PostgreSQL"])
def target(
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
