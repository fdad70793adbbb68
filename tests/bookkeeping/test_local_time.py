"""Moments as people type them."""

from __future__ import annotations

from contextlib import suppress
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.bookkeeping.local_time import local_day, local_zone, read_moment, zone_named
from spikecheck.errors import UsageError

ROME = ZoneInfo("Europe/Rome")
NOW = datetime(2026, 5, 4, 22, 30, tzinfo=UTC)  # half past midnight of the next day in Rome


def read(text, *, now=NOW, zone=ROME):
    return read_moment(text, now=now, zone=zone)


def utc(*parts):
    return datetime(*parts, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "moment"),
    [
        (None, NOW),
        ("2026-05-03", utc(2026, 5, 3, 10)),
        ("2026-05-04", utc(2026, 5, 4, 10)),
        ("2026-05-05", NOW),
        ("2026-01-03", utc(2026, 1, 3, 11)),
        ("09:30", utc(2026, 5, 5, 7, 30)),
        (" 9:30 ", utc(2026, 5, 5, 7, 30)),
        ("2026-05-04 09:30", utc(2026, 5, 4, 7, 30)),
        ("2026-05-04T09:30:15", utc(2026, 5, 4, 7, 30, 15)),
        ("2026-05-04 09:30+09:00", utc(2026, 5, 4, 0, 30)),
        ("2026-05-04T09:30Z", utc(2026, 5, 4, 9, 30)),
    ],
)
def test_what_is_typed_is_a_moment_in_utc(text, moment):
    found = read(text)
    assert (found, found.tzinfo) == (moment, UTC)


def test_a_time_that_clocks_skip_is_as_if_they_had_not_been_put_forward():
    """On 29 March 2026 clocks in Rome go from 2:00 to 3:00 (IANA time zone database)."""
    assert read("2026-03-29 02:30") == utc(2026, 3, 29, 1, 30)
    assert read("2026-03-29 02:30").astimezone(ROME).hour == 3
    assert read("2026-03-29 01:59") == utc(2026, 3, 29, 0, 59)
    assert read("2026-03-29 03:00") == utc(2026, 3, 29, 1)


def test_of_a_time_that_comes_twice_the_first_is_meant():
    """On 25 October 2026 clocks in Rome go from 3:00 back to 2:00 (IANA time zone database)."""
    assert read("2026-10-25 02:30") == utc(2026, 10, 25, 0, 30)
    assert read("2026-10-25 02:30+01:00") == utc(2026, 10, 25, 1, 30)


@pytest.mark.parametrize(
    "text",
    ["", "  ", "yesterday", "2026-13-01", "2026-02-30", "25:00", "4.5.2026", "2026-05-04 09.30",
     "2026-05-04 09:30+99:00", "\x1b[2J", "9" * 5000, "2026-05-04\0"],
)  # fmt: skip
def test_nonsense_is_refused_in_one_line_with_a_cure(text):
    with pytest.raises(UsageError, match="is no moment") as refused:
        read(text)
    assert "2026-05-04 09:30" in refused.value.cure
    assert len(str(refused.value)) < 200
    assert str(refused.value).isprintable()


@pytest.mark.parametrize(
    ("text", "zone"),
    [("0026-05-04", "UTC"), ("9999-12-31", "Etc/GMT+12"), ("0001-01-01T00:00+14:00", "UTC"),
     ("9999-12-31T23:59-12:00", "UTC"), ("0001-01-01 02:00", "Asia/Tokyo")],
)  # fmt: skip
def test_a_year_typed_wrong_is_told(text, zone):
    with pytest.raises(UsageError, match="is in the year"):
        read(text, zone=ZoneInfo(zone))


@given(st.text(max_size=30))
def test_any_text_is_a_moment_or_refused(text):
    with suppress(UsageError):
        assert read(text).tzinfo is UTC


@given(
    st.integers(int(utc(1900, 1, 3).timestamp()), int(utc(2199, 12, 28).timestamp())),
    st.sampled_from(["Europe/Rome", "Asia/Kolkata", "America/St_Johns", "UTC"]),
)
def test_what_is_shown_with_its_offset_is_read_back(seconds, name):
    moment = datetime.fromtimestamp(seconds, UTC)
    # Offsets before standard time have seconds, which ISO 8601 texts keep too.
    assert read(moment.astimezone(ZoneInfo(name)).isoformat()) == moment


def test_the_local_day_is_that_of_the_zone():
    assert local_day(NOW, ROME) == date(2026, 5, 5)
    assert local_day(NOW, ZoneInfo("UTC")) == date(2026, 5, 4)


def test_the_zone_is_the_one_that_is_named(monkeypatch):
    monkeypatch.setenv("SPIKECHECK_ZONE", "Asia/Tokyo")
    assert local_zone() == ZoneInfo("Asia/Tokyo")
    monkeypatch.setenv("SPIKECHECK_ZONE", "")
    monkeypatch.setattr("tzlocal.get_localzone", lambda: ROME)
    assert local_zone() is ROME


@pytest.mark.parametrize("name", ["Rome", "", "Europe", "../etc", "a\0b", "Röme", "UTC+2"])
def test_a_zone_that_is_none_is_told(name, monkeypatch):
    with pytest.raises(UsageError, match="no time zone is called"):
        zone_named(name)
    if name and "\0" not in name:
        monkeypatch.setenv("SPIKECHECK_ZONE", name)
        with pytest.raises(UsageError, match="Name it like Europe/Rome"):
            local_zone()
