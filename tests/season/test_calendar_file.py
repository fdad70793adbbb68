"""The calendar file: read back by another parser, and octet by octet after RFC 5545."""

from __future__ import annotations

import dataclasses
from datetime import UTC, date, datetime, timedelta

import pytest
import vobject
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import SeasonError
from spikecheck.language import Language, in_language
from spikecheck.season import agenda_calendar
from spikecheck.season.agenda import agenda, grouped
from tests.season.spikes import FIRST, HOUR, NUMBERS, spike

NOW = FIRST + 13 * HOUR
DASH = "\N{EN DASH}"


def groups_of(*records, now=NOW):
    return grouped(agenda(records, now=now, courses={}, numbers={"wheat": NUMBERS}, zone=UTC))


def pollination(number=1, **what):
    return spike(number, bagged_at=FIRST + 12 * HOUR, **what)


def named(cross="C-014", male="Sunno 7", place="House 2"):
    return groups_of(dataclasses.replace(pollination(cross=cross, place=place), male=male))


def written(groups, *, now=NOW, store="store 1", **options):
    return agenda_calendar(groups, now=now, store=store, **options)


def events(data):
    return vobject.readOne(data.decode()).contents.get("vevent", [])


def unfolded(data):
    """Content lines after RFC 5545, 3.1: CRLF and a blank or a tab continue a line."""
    return data.replace(b"\r\n ", b"").replace(b"\r\n\t", b"").decode().split("\r\n")[:-1]


def test_another_parser_reads_it_back():
    (event,) = events(written(groups_of(*(pollination(k) for k in (1, 2, 3, 7)))))
    assert event.summary.value == f"Pollinate with Sunno 7: C-014: spikes 1{DASH}3, 7"
    assert event.dtstart.value == date(2026, 5, 4)
    assert event.dtend.value == date(2026, 5, 5), "the end of all-day events is exclusive"
    assert event.dtstamp.value == datetime(2026, 5, 1, 13, tzinfo=UTC)
    assert event.location.value == "House 2"
    assert event.transp.value == "TRANSPARENT"
    assert event.description.value == (
        f"1{DASH}3, 7: Pollinate with Sunno 7: from 2026-05-02, best on 2026-05-04, until "
        "2026-05-10, perhaps only until 2026-05-04. Temperatures of House 2 are not known since "
        "then: days of 18 °C are assumed."
    )
    assert event.valarm.action.value == "DISPLAY"
    assert event.valarm.description.value == event.summary.value
    assert event.valarm.trigger.value == timedelta(hours=7)


def test_what_the_standard_asks_of_every_file_and_event():
    """RFC 5545: 3.4 and 3.6 (VERSION, PRODID), 3.6.1 (UID, DTSTAMP, DTSTART), 3.6.6 (alarm)."""
    lines = unfolded(written(groups_of(spike(1), pollination(2))))
    assert (lines[0], lines[-1]) == ("BEGIN:VCALENDAR", "END:VCALENDAR")
    assert "VERSION:2.0" in lines
    assert sum(line.startswith("PRODID:") for line in lines) == 1
    for once in ("UID:", "DTSTAMP:20260501T130000Z", "DTSTART;VALUE=DATE:", "ACTION:DISPLAY",
                 "TRIGGER:PT7H"):  # fmt: skip
        assert sum(line.startswith(once) for line in lines) == 2, once


def test_an_empty_agenda_is_a_calendar_without_events():
    assert events(written(())) == []
    assert written(()).startswith(b"BEGIN:VCALENDAR\r\n")


def test_without_an_alarm_and_without_a_day():
    (event,) = events(written(groups_of(spike(1)), alarm=None))
    assert "valarm" not in event.contents
    assert events(written(groups_of(spike(1, selected_at=None, emasculated_at=None)))) == []


def test_a_group_keeps_its_uid_and_another_has_its_own():
    def uids(groups, **options):
        return [event.uid.value for event in events(written(groups, **options))]

    waiting = groups_of(pollination(1), pollination(2))
    later = groups_of(pollination(1), pollination(2), pollination(3), now=NOW + 100 * HOUR)
    assert later[0].day != waiting[0].day
    assert uids(waiting) == uids(later, now=NOW + 100 * HOUR)
    others = [
        uids(groups_of(pollination(2))),
        uids(groups_of(pollination(1, cross="C-015"))),
        uids(groups_of(spike(1))),
        uids(waiting, store="store 2"),
    ]
    assert len({*uids(waiting), *(one for (one,) in others)}) == 5
    assert written(waiting) == written(waiting)


def folded_rightly(data):
    """CRLF only, no line above 75 octets, no UTF-8 sequence cut (RFC 5545, 3.1)."""
    assert data.endswith(b"\r\n")
    assert data.count(b"\r") == data.count(b"\n") == data.count(b"\r\n")
    for line in data.split(b"\r\n"):
        assert len(line) <= 75
        line.decode("utf-8")
    return True


@pytest.mark.parametrize(
    "name", ["ñandú \N{MULTIPLICATION SIGN} μ-line", "µ" * 70, "🌾" * 40, "a" * 200]
)
@pytest.mark.parametrize("shift", range(5))
def test_long_names_in_any_script_are_folded_between_characters(name, shift):
    male = "x" * shift + name
    data = written(named(male=male))
    assert folded_rightly(data)
    assert male in events(data)[0].summary.value


def test_what_has_a_meaning_is_escaped():
    """RFC 5545, 3.3.11: backslash, semicolon and comma; a line end inside text is \\n."""
    data = written(named(male=r"A\B;C,D:E"))
    assert r"A\\B\;C\,D:E" in next(x for x in unfolded(data) if x.startswith("SUMMARY"))
    assert events(data)[0].summary.value == r"Pollinate with A\B;C,D:E: C-014: spike 1"
    two = groups_of(spike(1), spike(2, emasculated_at=FIRST + 13 * HOUR))
    assert [len(group.tasks) for group in two] == [2]
    first, second = (task.sentence for task in two[0].tasks)
    assert first != second, "they differ by an hour"
    assert events(written(two))[0].description.value == f"1: {first}\n2: {second}"
    assert r"assumed.\n2: " in next(x for x in unfolded(written(two)) if x.startswith("DESCRIP"))


@pytest.mark.parametrize("end", ["\r\n", "\n", "\r", "\x85", "\u2028", "\x0b", "\x00", "\\n"])
@pytest.mark.parametrize("field", ["cross", "male", "place"])
def test_no_name_makes_a_new_property(end, field):
    evil = f"X{end}ATTACH:file{end}END:VEVENT{end}BEGIN:VEVENT"
    data = written(named(**{field: evil}))
    assert folded_rightly(data)
    names = [line.partition(":")[0].partition(";")[0] for line in unfolded(data)]
    plain = unfolded(written(named()))
    assert names == [line.partition(":")[0].partition(";")[0] for line in plain]
    assert len(events(data)) == 1


def test_names_from_right_to_left_go_in_as_they_were_typed():
    """Whoever reads it: no mark of Unicode Standard Annex #9 is added, as pages show names."""
    groups = named(cross="הצלבה 14", male="חיטה 7", place="בית 2")
    with in_language(Language.ENGLISH):
        assert "\u2068" in groups[0].title
        assert not {"\u2068", "\u2069"} & set(written(groups).decode())
    assert events(written(groups))[0].summary.value == "Pollinate with חיטה 7: הצלבה 14: spike 1"


@given(st.text(max_size=120), st.text(max_size=120), st.text(max_size=60))
def test_any_name_gives_a_file_that_is_read_back(cross, male, where):
    data = written(named(cross=cross, male=male, place=where))
    assert folded_rightly(data)
    assert len(events(data)) == 1
    assert [line for line in unfolded(data) if line.startswith("BEGIN:")] == [
        "BEGIN:VCALENDAR", "BEGIN:VEVENT", "BEGIN:VALARM"
    ]  # fmt: skip


def test_a_moment_without_a_zone_is_refused():
    with pytest.raises(SeasonError, match="no time zone"):
        written((), now=datetime(2026, 5, 1))  # noqa: DTZ001
