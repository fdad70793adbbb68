"""Temperatures and changed numbers: every source kept, read back exactly."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from spikecheck.errors import UsageError
from spikecheck.vocabulary.temperatures import Constant, DailyReading, Reading

if TYPE_CHECKING:
    from spikecheck.store import Store
    from spikecheck.vocabulary.temperatures import Temperatures

START = datetime(2026, 5, 4, tzinfo=UTC)
DAYS = tuple(DailyReading(date(2026, 5, day), 8.1 + day, 21.7) for day in range(1, 9))
READINGS = tuple(Reading(START + timedelta(minutes=7 * n), 0.1 * n) for n in range(300))
CONSTANT = Constant(20.5, START, START + timedelta(days=90))


@pytest.mark.parametrize("given", [DAYS, READINGS, CONSTANT], ids=["days", "readings", "constant"])
def test_come_back_exactly(store: Store, given: Temperatures):
    source = store.temperatures.add(
        "House 2", given, zone="Europe/Rome", by="Ida", file_name="logger/out.csv"
    )
    assert (source.place, source.zone, source.file_name) == ("House 2", "Europe/Rome", "out.csv")
    (recorded,) = store.temperatures.of_place("House 2")
    assert recorded.temperatures == given
    assert recorded.recorded_at == source.recorded_at
    assert store.temperatures.of_place("House 3") == ()
    assert store.verify().faults == ()


def test_sources_stay_in_the_order_of_recording(store: Store):
    store.temperatures.add("House 2", DAYS, zone="UTC", by="Ida")
    store.temperatures.add("House 2", DAYS[:1], zone="UTC", by="Bo")
    assert [one.recorded_by for one in store.temperatures.sources()] == ["Ida", "Bo"]
    assert [len(one.temperatures) for one in store.temperatures.of_place("House 2")] == [8, 1]


def test_nothing_is_refused(store: Store):
    with pytest.raises(UsageError, match="no temperatures to record"):
        store.temperatures.add("House 2", (), zone="UTC", by="Ida")


def test_latest_change_of_a_number_holds(store: Store):
    store.numbers.add("wheat", "base_c", 1.0, by="Ida", reason="own trial")
    store.numbers.add("wheat", "base_c", 0.1, by="Bo", reason="typed wrong")
    store.numbers.add("rye", "base_c", 2.0, by="Bo", reason="own trial")
    assert store.numbers.in_force("wheat") == {"base_c": 0.1}
    assert [one.value for one in store.numbers.all()] == [1.0, 0.1, 2.0]
    assert store.verify().faults == ()
