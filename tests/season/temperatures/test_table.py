"""Tables of temperatures: what is taken in, and that nothing is half taken."""

from __future__ import annotations

import io
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import TableError
from spikecheck.season.temperatures import read_temperature_table, table
from spikecheck.vocabulary.temperatures import DailyReading, Reading

BERLIN = ZoneInfo("Europe/Berlin")


def read(text, *, zone=UTC, encoding="utf-8", **options):
    return read_temperature_table(io.BytesIO(text.encode(encoding)), zone=zone, **options)


def at(*parts):
    return datetime(*parts, tzinfo=UTC)


TWO = (Reading(at(2026, 5, 13, 8), 12.5), Reading(at(2026, 5, 13, 9), 13.0))


@pytest.mark.parametrize(
    "text",
    [
        "Date,Time,Temperature (°C)\n2026-05-13,08:00,12.5\n2026-05-13,09:00,13\n",
        "Date Time;Temp °C;RH %\n2026-05-13 08:00:00;12,5;60\n2026-05-13 09:00:00;13,0;61\n",
        "#\ttimestamp\tair_temp_C\n1\t2026-05-13T08:00Z\t12,5\n2\t2026-05-13T09:00Z\t13\n",
        "2026-05-13 08:00;12,5\n2026-05-13 09:00;13,0",
        '13.05.2026 08:00,"12,5"\n13.05.2026 09:00,13\n',
        "1,13/05/2026,8:00 am,12.5\n2,13/05/2026,9:00 am,13.0\n",
        "Tag;Uhrzeit;Temperatur\n\n13.5.2026;8:00;12,5 °C\n;;\n13.5.2026;9:00;13 °C\n",
        "time,Air temp,Soil temp\n2026-05-13 10:00+02:00,12.5,9\n2026-05-13 11:00+0200,13,9\n",
        "Time (UTC+2);Temp (avg)\n2026-05-13 10:00;12,5\n2026-05-13 11:00;13\n",
        "Date,Time GMT-03:30,Temp\n2026-05-13,04:30,12.5\n2026-05-13,05:30,13\n",
        "Date,Time,Temp\r\n2026-05-13,08:00,12.5,,\r\n2026-05-13,09:00,13\r\n",
    ],
)
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig"])
def test_forms_of_a_logger(text, encoding):
    assert read(text, encoding=encoding) == TWO


@pytest.mark.parametrize(
    "text",
    [
        "date,min,max\n2026-05-01,8,21.5\n2026-05-03,\N{MINUS SIGN}1,20\n",
        "Max temp;MinTemp;Day\n21,5;8;01.05.2026\n20;-1;03.05.2026\n",
        "Date;Mean temp;Min;Max\n2026-05-01;14;8;21.5\n2026-05-03;9;-1;20\n",
        "2026-05-01\t8\t21,5\n2026-05-03\t-1\t20\n",
    ],
)
def test_forms_of_daily_extremes(text):
    assert read(text) == (
        DailyReading(date(2026, 5, 1), 8, 21.5), DailyReading(date(2026, 5, 3), -1, 20)
    )  # fmt: skip


def test_the_hour_that_comes_twice_is_told_apart_by_the_order():
    """In Germany clocks went back on 25 October 2026 at 3:00 summer time, 1:00 UTC."""
    times = ["01:30", "02:00", "02:30", "02:00", "02:30", "03:00"]
    lines = "\n".join(f"2026-10-25 {time};10" for time in times)
    moments = [one.moment for one in read(lines, zone=BERLIN)]
    half = timedelta(minutes=30)
    assert moments == [at(2026, 10, 24, 23, 30) + k * half for k in range(6)]


def test_an_hour_that_was_jumped_over_is_refused():
    """In Germany clocks went forward on 29 March 2026 from 2:00 to 3:00."""
    with pytest.raises(
        TableError, match=r"line 2, column 1: 2026-03-29 02:30 does not exist.*--zone"
    ):
        read("2026-03-29 01:30;8\n2026-03-29 02:30;8\n", zone=BERLIN)


@pytest.mark.parametrize(
    ("day", "clock", "named"),
    [(25, "03:30", True), (24, "03:30", True), (23, "03:30", False), (25, "03:30+01:00", False)],
)
def test_near_a_change_of_the_clock_the_option_for_the_zone_is_named(day, clock, named):
    line = f"2026-10-{day} {clock};8\n"
    with pytest.raises(TableError, match="not after the line before") as caught:
        read(line + line, zone=BERLIN)
    assert ("--zone" in str(caught.value)) == named
    assert ("correct it and try again" in str(caught.value)) != named


def test_local_time_is_that_of_the_zone():
    assert read("2026-07-01 08:00;8", zone=BERLIN) == (Reading(at(2026, 7, 1, 6), 8),)


def test_a_date_is_only_taken_when_the_day_is_certain():
    text = "1/5/2026 08:00;12\n2/5/2026 08:00;13\n"
    with pytest.raises(TableError, match=r"day or month first.*--day-first"):
        read(text)
    assert read(text, day_first=True)[1].moment == at(2026, 5, 2, 8)
    assert read(text + "13/5/2026 08:00;13\n")[0].moment == at(2026, 5, 1, 8)
    with pytest.raises(TableError, match="month first are not taken"):
        read("5/13/2026 08:00;12\n")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "the table is empty|no column holds the date"),
        ("Date,Time,Temp\n", "line 1: no line holds a temperature"),
        ("Zeitpunkt,Temp\n1,2\n", "no column holds the date; name one date, day or timestamp"),
        ("date,rain\n2026-05-01,2\n", "no column holds the temperature; name one temperature"),
        ("date,temp in,temp out\n2026-05-01,2,3\n", "several columns could hold the temperature"),
        ("date,time,Temp (°F)\n", r"'Temp \(°F\)' is in degrees F; change it to degrees C"),
        ("date,time,temp_f\n", "is in degrees F"),
        ("date,time,Temp (ºF)\n", "is in degrees F"),
        ("date,time,Temp (℉)\n", "is in degrees F"),
        ("2026-05-01 08:00;70.2 F\n", "without a header"),
        ("date;temp\n2026-05-01 08:00;70,2\n", "column 2: 70.2 cannot be.*is it degrees F"),
        ("date;temp\n2026-05-01 08:00;58\n2026-05-01 09:00;49\n", "so hot on average"),
        ("date;temp\n2026-05-01 08:00;\n", "line 2, column 2: the temperature is missing"),
        ("date;temp\n2026-05-01 08:00\n", "line 2, column 2: the temperature is missing"),
        ("date;temp\n2026-05-01 08:00;1.234,5\n", "'1.234,5' is no temperature"),
        ("date;temp\n2026-05-01 25:00;12\n", "'25:00' is no time of day"),
        ("date;temp\n2026-02-30 08:00;12\n", "30.2.2026 is no day"),
        ("date;temp\n2026-05-01;12\n", "has no time of day"),
        ("date;temp\nyesterday;12\n", "'yesterday' is no date"),
        ("date,temp\n2026-05-01 08:00,12,5\n", "decimal comma, columns must be apart by semi"),
        ("2026-05-01 08:00;12\n2026-05-01 08:00;13\n", "line 2.*not after the line before"),
        ("date;min;max\n2026-05-01;22;12\n", "the lowest temperature 22 is above the highest 12"),
        ("date;min;max\n2026-05-01;2;12\n2026-05-01;2;12\n", "line 3.*not after the line before"),
        ("date;min;max\n2026-05-01 12:00;2;12\n", "need no time of day"),
        ("2026-05-01;8\n", "without a header a line holds"),
        ('date;temp\n\n2026-05-01 08:00;"12\n13"\n', "line 3, column 2: '12.n13' is no"),
        ("a" * 200_000, "line 1: field larger than field limit"),
    ],
)  # fmt: skip
def test_what_cannot_be_taken_is_told_by_line_and_column(text, said):
    with pytest.raises(TableError, match=said):
        read(text, name="logger.csv")


@pytest.mark.parametrize("encoding", ["utf-16", "latin-1"])
def test_other_encodings_are_refused(encoding):
    with pytest.raises(TableError, match="not UTF-8"):
        read("Größe;date;temp\n1;2026-05-01 08:00;12\n", encoding=encoding)


def test_twenty_problems_are_listed_and_the_rest_counted():
    lines = "\n".join(f"2026-05-01 {k // 60:02}:{k % 60:02};warm" for k in range(100))
    with pytest.raises(TableError) as caught:
        read("date;temp\n" + lines)
    assert str(caught.value).count("'warm' is no temperature") == 20
    assert "line 21, column 2: 'warm' is no temperature; and 80 more." in str(caught.value)


def test_a_table_of_too_many_lines_is_refused_before_it_is_read(monkeypatch):
    assert table._ROWS_MOST == 1_000_000
    monkeypatch.setattr(table, "_ROWS_MOST", 100)
    minutes = [f"{at(2026, 1, 1) + timedelta(minutes=k):%Y-%m-%d %H:%M};1\n" for k in range(90_000)]
    assert len(read("date;temp\n" + "".join(minutes[:100]))) == 100
    source = io.BytesIO("".join(minutes).encode())
    with pytest.raises(TableError, match=r"logger\.csv: has more than 100 lines of temperatures"):
        read_temperature_table(source, zone=UTC, name="logger.csv")
    assert source.tell() < 100_000


def test_the_file_is_left_open_and_read_line_by_line():
    class Lazy(io.BytesIO):
        most = 0

        def read1(self, size=-1):
            Lazy.most = max(Lazy.most, size)
            return super().read1(size)

    minutes = (at(2026, 1, 1) + timedelta(minutes=k) for k in range(20_000))
    source = Lazy("".join(f"{one:%Y-%m-%d %H:%M};12,5\n" for one in minutes).encode())
    assert len(read_temperature_table(source, zone=UTC)) == 20_000
    assert not source.closed
    assert 0 < Lazy.most < 100_000


@pytest.mark.parametrize(
    "zone", ["Europe/Berlin", "America/Santiago", "Australia/Lord_Howe", "Asia/Kolkata"]
)
def test_a_year_in_local_time_is_read_back(zone):
    """Half-hours written without an offset, over both changes of the clock."""
    local = ZoneInfo(zone)
    moments = [at(2026, 1, 1) + k * timedelta(minutes=30) for k in range(365 * 48)]
    text = "\n".join(f"{one.astimezone(local):%d.%m.%Y %H:%M};1" for one in moments)
    assert [one.moment for one in read(text, zone=local)] == moments


@given(
    st.lists(st.tuples(st.integers(1, 3000), st.integers(-300, 400)), min_size=1, max_size=20),
    st.booleans(),
)
def test_what_a_logger_wrote_with_its_offset_is_read_back(steps, comma):
    moment, readings = at(2026, 9, 1), []
    for minutes, tenths in steps:
        moment += timedelta(minutes=minutes)
        readings.append(Reading(moment, tenths / 10))
    lines = []
    for one in readings:
        number = f"{one.air_c:.1f}".replace(".", "," if comma else ".")
        lines.append(f"{one.moment.astimezone(BERLIN):%d.%m.%Y %H:%M%z};{number}")
    assert read("\n".join(lines), zone=UTC) == tuple(readings)


@given(st.text(max_size=200))
def test_any_text_is_taken_or_told(text):
    try:
        taken = read(text.replace("\udc00", ""), encoding="utf-8")
    except (TableError, UnicodeEncodeError):
        return
    assert taken
