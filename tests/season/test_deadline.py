"""Deadlines: how exactly they are told, by what they rest on."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.language import day_and_time
from spikecheck.season.clock import WarmthBasis
from spikecheck.season.deadline import Deadline

AT = datetime(2026, 5, 4, 12, 47, 31, 5, tzinfo=UTC)


@pytest.mark.parametrize(
    ("basis", "words"),
    [
        (None, "2026-05-04 14:47"),
        (WarmthBasis.MEASURED, "2026-05-04 14:00"),
        (WarmthBasis.OUTLOOK, "about 2026-05-04 14:00"),
        (WarmthBasis.ASSUMED, "about 2026-05-04 14:00"),
    ],
)
def test_minutes_are_told_only_where_no_temperature_decides(basis, words):
    assert Deadline(AT, basis).words(ZoneInfo("Europe/Berlin")) == words
    assert Deadline(AT, basis).at == AT


@given(
    st.integers(0, 4_000_000_000).map(lambda second: datetime.fromtimestamp(second, UTC)),
    st.sampled_from(WarmthBasis),
    st.sampled_from(["UTC", "Europe/Berlin", "Asia/Kolkata", "Australia/Lord_Howe"]),
)
def test_what_is_told_is_never_later_and_less_than_an_hour_early(at, basis, zone):
    local = at.astimezone(ZoneInfo(zone))
    words = Deadline(at, basis).words(local.tzinfo)
    told = [
        minutes for minutes in range(60)
        if words.endswith(day_and_time(local - timedelta(minutes=minutes)))
    ]  # fmt: skip
    assert told
    assert words.endswith(":00")
