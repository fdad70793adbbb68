"""The proof: every way to alter the records behind the program's back is found."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from spikecheck.vocabulary import CrossingSession, Step
from spikecheck.vocabulary.plan import PlannedParent
from spikecheck.vocabulary.steps import Emasculated, Selected, Tagged
from spikecheck.vocabulary.temperatures import DailyReading
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from spikecheck.store import NewCheck, Store

AGO = datetime.now(UTC) - timedelta(days=10)


@pytest.fixture
def season(store: Store, make_check: Callable[..., NewCheck]) -> Store:
    store.plans.add(planned("C-1", "Ferra", "Olmo"))
    store.plans.add_parent(PlannedParent("Ferra", "IN 113"))
    store.sessions.add(CrossingSession("S1", date(2026, 5, 4), "House 2", ("Ida",)))
    store.spikes.add("C-1", 3, Step(Selected(55), at=AGO, by="Ida"))
    store.spikes.add("C-1", 3, Step(Tagged("TAG"), at=AGO, by="Ida"))
    step = Step(Emasculated(20, 60), at=AGO, by="Ida", session="S1")
    store.spikes.add("C-1", 3, step)
    check = store.add_check(make_check(), cross="C-1", spike=3, by="Ida")
    store.override(check.id, "Bo", "palea")
    store.temperatures.add("House 2", (DailyReading(date(2026, 5, 4), 8, 21),), zone="UTC", by="Bo")
    store.numbers.add("wheat", "base_c", 1.0, by="Bo", reason="own trial")
    return store


def test_untouched_records_prove_themselves(season: Store):
    told: list[tuple[int, int]] = []
    found = season.verify(on_progress=lambda done, total: told.append((done, total)))
    assert found.faults == ()
    # Two parents and a change, cross, session, three steps, check, override, temperatures, number.
    assert (found.entries, found.spikes, found.photos) == (12, 1, 2)
    assert found.head_found is None
    assert season.verify(head=found.head).head_found is True
    assert season.verify(head="f" * 64).head_found is False


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        (
            "UPDATE entries SET body = replace(body, '\"anthers\":60', '\"anthers\":57')",
            "entry 8 was changed",
        ),
        ("UPDATE entries SET hash = previous_hash WHERE number = 5", "entry 5 was changed"),
        ("UPDATE entries SET kind = 'tagged' WHERE number = 5", "stands in a row that says"),
        ("DELETE FROM entries WHERE number = 12", "the chain does not end with entry 11"),
        ("DELETE FROM entries WHERE number = 9", "entry 9 is missing"),
        ("UPDATE crosses SET male = 'Tarn'", "cross C-1 is not kept as the history says"),
        ("UPDATE parents SET accession = 'X'", "parent Ferra is not kept as the history says"),
        ("UPDATE sessions SET place = 'X'", "(session opened) is kept otherwise"),
        ("UPDATE session_people SET name = 'X'", "(session opened) is kept otherwise"),
        ("UPDATE checks SET verdict = 'pass'", "(checked) is kept otherwise"),
        ("UPDATE checks SET result = '{}'", "(checked) is kept otherwise"),
        ("UPDATE check_photos SET sha256 = overlay_sha256", "(checked) is kept otherwise"),
        ("DELETE FROM overrides", "the overrides of check 1 are not kept"),
        ("DELETE FROM season_changes", "the changed numbers of wheat are not kept"),
        ("UPDATE daily_temperatures SET max_c = 22", "(temperatures recorded) is kept otherwise"),
        ("UPDATE spike_states SET anthers = 57", "spike C-1/3 is not kept as its entries say"),
        ("UPDATE spike_states SET verdict = 'review'", "is not kept as its entries say"),
        ("DELETE FROM tags", "spike C-1/3 has other tags than its entries say"),
        ("UPDATE spikes SET number = 4", "spike C-1/4 has entries of another spike"),
        ("INSERT INTO spikes (cross_id, number) VALUES ('C-1', 9)", "C-1/9 is there and no entry"),
        (
            "INSERT INTO temperature_readings VALUES (1, '2026-05-04 07:00:00', 1.0)",
            "temperature_readings has 1 rows that no entry tells of",
        ),
        ("UPDATE entries SET body = '[]' WHERE number = 9", "entry 9 was changed"),
        ("UPDATE entries SET body = '{' WHERE number = 4", "entry 4 was changed"),
    ],
)
def test_every_alteration_is_found(season: Store, statement: str, told: str):
    with season._database.writing() as connection:
        connection.exec_driver_sql(statement)
    faults = season.verify().faults
    assert any(told in fault for fault in faults), faults


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        ("UPDATE checks SET checked_at = 'soon'", "says (checked) is kept otherwise"),
        ("UPDATE crosses SET created_at = 'soon'", "hold what this program never wrote"),
        ("UPDATE spike_states SET bagged_at = 'soon'", "C-1/3 has a history that cannot be"),
    ],
)
@pytest.mark.parametrize("database", ["sqlite"], indirect=True)
def test_word_where_a_moment_should_be_is_found(season: Store, statement: str, told: str):
    """Which only SQLite takes there."""
    with season._database.writing() as connection:
        connection.exec_driver_sql(statement)
    faults = season.verify().faults
    assert any(told in fault for fault in faults), faults


def test_damaged_and_missing_photos_are_found(season: Store, kept_photos: Callable[[], list[Path]]):
    first, second = kept_photos()
    first.write_bytes(first.read_bytes() + b"x")
    second.unlink()
    faults = " | ".join(season.verify().faults)
    assert "the photo is damaged" in faults
    assert "the photo is missing" in faults
    assert "face 0.jpg of spike C-1/3, check 1" in faults
    assert ": the overlay of face 0.jpg of spike C-1/3, check 1" in faults
