"""What is known of a place's temperatures, in lines."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from spikecheck.bookkeeping.temperature_text import reach_text, temperature_lines
from spikecheck.errors import UsageError
from spikecheck.vocabulary.temperatures import Constant, DailyReading, Reading
from tests.bookkeeping.invented import CUT, DAY, HOUR

TOKYO = ZoneInfo("Asia/Tokyo")  # nine hours ahead of UTC
DAYS = tuple(DailyReading(date(2026, 5, day), 8, 22) for day in (4, 5, 8))


@pytest.mark.parametrize(
    ("temperatures", "text"),
    [
        (DAYS[:1], "1 day, 2026-05-04 to 2026-05-04"),
        (DAYS, "3 days, 2026-05-04 to 2026-05-08"),
        ((Reading(CUT, 20), Reading(CUT + HOUR, 21)),
         "2 readings, 2026-05-10 21:00 to 2026-05-10 22:00 (Asia/Tokyo)"),
        (Constant(20.5, CUT, CUT + DAY),
         "20.5 °C from 2026-05-10 21:00 to 2026-05-11 21:00 (Asia/Tokyo)"),
    ],
)  # fmt: skip
def test_how_far_it_reaches_is_told_in_local_time_of_a_zone_that_is_named(temperatures, text):
    assert reach_text(temperatures, TOKYO) == text


def test_sources_gaps_and_the_outlook_are_told(store):
    store.temperatures.add("House 2", DAYS, zone="UTC", by="Ida", file_name="days.csv")
    store.temperatures.add(
        "House 2", Constant(19, datetime(2026, 5, 9, tzinfo=CUT.tzinfo), CUT), zone="UTC", by="Bo"
    )
    store.temperatures.add("House 3", DAYS[:1], zone="UTC", by="Ann")
    first, second, gap, known = temperature_lines(store, "House 2")
    assert first.startswith("3 days, 2026-05-04 to 2026-05-08, from days.csv, recorded ")
    assert first.endswith(" by Ida")
    assert second.startswith("19 °C from 2026-05-09 00:00 to 2026-05-10 12:00 (UTC), recorded ")
    assert gap == (
        "Not known: 2026-05-06 00:00 to 2026-05-08 00:00 (UTC); 15.0 ± 0.0 °C are expected, as in "
        "the days before"
    )
    assert known.startswith("Known up to 2026-05-10 12:00 (UTC); after that ")
    assert known.endswith("°C are expected, as in the last days")


def test_a_room_held_far_ahead_needs_no_outlook(store):
    end = datetime.now(CUT.tzinfo) + timedelta(days=400)
    store.temperatures.add("Chamber", Constant(19, CUT, end), zone="UTC", by="Ida")
    lines = list(temperature_lines(store, "Chamber"))
    assert lines[1:] == [f"Known up to {end:%Y-%m-%d %H:%M} (UTC)"]


def test_a_single_reading_is_said_to_tell_nothing_yet(store):
    store.temperatures.add("Chamber", (Reading(CUT, 19),), zone="UTC", by="Ida")
    assert "no time yet" in list(temperature_lines(store, "Chamber"))[1]


def test_an_unknown_place_is_told_with_those_that_are_known(store):
    with pytest.raises(UsageError, match=r"no temperature of House 9 .*Record some first"):
        list(temperature_lines(store, "House 9"))
    for place in ("B", "A", "B"):
        store.temperatures.add(place, DAYS, zone="UTC", by="Ida")
    with pytest.raises(UsageError, match="Known are A, B"):
        list(temperature_lines(store, "House 9"))
