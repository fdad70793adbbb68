"""Tables of loggers that tell of themselves before they begin."""

from __future__ import annotations

import io
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import TableError
from spikecheck.season.temperatures import read_temperature_table
from spikecheck.season.temperatures.heading import HEAD_LINES
from spikecheck.vocabulary.temperatures import Reading

TABLE = "Date;Time;Temp\n2026-05-13;08:00;12,5\n2026-05-13;09:00;13\n"
TWO = (
    Reading(datetime(2026, 5, 13, 8, tzinfo=UTC), 12.5),
    Reading(datetime(2026, 5, 13, 9, tzinfo=UTC), 13.0),
)


def read(text):
    return read_temperature_table(io.BytesIO(text.encode()), zone=UTC, name="logger.csv")


@pytest.mark.parametrize(
    "above",
    [
        "Serial number 10442\n",
        "Serial number: 10442\nSite: House 2\n\n",
        "Serial;10442\nSite;House 2, north side\nInterval;60 min\n;;\n",
        "Serial,10442,,\nSite,House 2,,\n,,,\n",
        "Logger\t10442\r\nDownloaded\t2026-06-01 10:00\r\n\r\n",
        "Downloaded;2026-06-01 10:00\n",
        "Started on;Site\n2026-05-12;House 2\n",
        "Time zone: UTC\nTemperature, battery\n",
        "Columns: date, temperature; decimal comma\n\n",
        "\n\n# logger 10442\n",
        "Site: House F\nRecorded by: F. Moreno\nUnit: °C\n",
        "line\n" * (HEAD_LINES - 2),
    ],
)
def test_lines_above_the_header_are_passed_over(above):
    assert read(above + TABLE) == TWO
    assert read("\N{ZERO WIDTH NO-BREAK SPACE}" + above + TABLE) == TWO


def test_a_problem_below_keeps_the_line_that_an_editor_shows():
    with pytest.raises(TableError, match=r"logger\.csv: line 6, column 3: 'warm' is no temp"):
        read("Serial 10442\n\nSite: House 2\n" + TABLE.replace("13\n", "warm\n"))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Serial\n" + TABLE + "\n" + TABLE, "lines 2 and 6 could each be the header"),
        ("Serial\n2026-05-12;07:00;12\n" + TABLE, "line 2 holds a date and a number, above"),
        ("2026-05-12;07:00;12;3\n" + TABLE, "line 1 holds a date and a number, above"),
        ("Serial\nDate;Temp in;Temp out\n2026-05-12 07:00;12;3\n" + TABLE, "line 3 holds a"),
        ("Serial\n\ndate;temp_f\n2026-05-13 08:00;60\n", "line 3: 'temp_f' is in degrees F"),
        ("Serial\ndate;rain\n2026-05-13;60\n", "line 2: no column holds the temperature"),
        ("Serial\n2026-05-13 08:00;12,5\n", "line 1: no column holds the date.*'Serial'"),
        ("Serial\n" * HEAD_LINES + TABLE, "line 1: no column holds the date"),
    ],
)
def test_what_is_not_certain_is_refused(text, said):
    with pytest.raises(TableError, match=said):
        read(text)


@pytest.mark.parametrize(
    "above",
    [
        "Temperature unit: F", "Unit;F", "Temp [°F]", "Temp [º F]", "Logger 7;℉", "degF",
        "Fahrenheit", "Temperature (deg. F)",
    ],
)  # fmt: skip
def test_degrees_f_told_above_the_header_are_refused(above):
    """A cold week in degrees F would be a warm one in degrees C."""
    with pytest.raises(TableError, match=r"line 2 tells of degrees F\. .*change the unit"):
        read(f"Serial\n{above}\n" + TABLE)


@pytest.mark.parametrize("above", ["Time zone: UTC-05:00", "Timezone;GMT-5", "Zona horaria,UTC-5"])
def test_a_time_zone_told_above_the_header_is_that_of_its_times(above):
    assert [one.moment.hour for one in read(f"{above}\n" + TABLE)] == [13, 14]
    own = TABLE.replace("Time", "Time (UTC+02:00)")
    assert [one.moment.hour for one in read(f"{above}\n" + own)] == [6, 7]


@pytest.mark.parametrize(
    ("above", "said"),
    [
        ("Time zone: House 2", r"line 1: 'Time zone: House 2' does not tell the time zone as"),
        ("Zone: UTC+2, in summer UTC+3", r"line 1: .* does not tell the time zone"),
        ("Time zone: UTC+2\nTime zone: UTC+3", "several time zones are told above the header"),
    ],
)
def test_a_time_zone_that_is_not_certain_is_refused(above, said):
    with pytest.raises(TableError, match=said):
        read(f"{above}\n" + TABLE)


def test_utc_of_something_else_is_not_the_zone_of_the_table():
    assert read("Downloaded 2026-06-01 10:00 UTC+2\n" + TABLE) == TWO


@given(
    st.lists(
        st.text("abcxyz 0123456789:#,.;\t\N{LATIN SMALL LETTER O WITH DIAERESIS}", max_size=30),
        max_size=HEAD_LINES - 2,
    ),
    st.sampled_from(["\n", "\r\n"]),
)
def test_whatever_stands_above_the_readings_are_the_same_or_it_is_refused(above, end):
    """No letters of these make a word for a column; a date needs a hyphen, slash or dots."""
    text = end.join([*above, TABLE.replace("\n", end)])
    try:
        taken = read(text)
    except TableError as error:
        assert "above what looks like the header" in str(error)  # noqa: PT017
    else:
        assert taken == TWO
