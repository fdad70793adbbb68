"""Numbers and temperatures of a store, as the season asks for them."""

from __future__ import annotations

from datetime import datetime

import pytest

from spikecheck.bookkeeping.season_of_store import season_of
from spikecheck.errors import SeasonError
from spikecheck.season.agenda import TaskKind
from spikecheck.thresholds.season import CROPS
from spikecheck.vocabulary import CrossingSession, Verdict
from spikecheck.vocabulary.steps import Emasculated, Selected
from spikecheck.vocabulary.temperatures import Constant, DailyReading, Reading
from tests.bookkeeping.invented import CUT, DAY, HOUR, NOW, checked, did
from tests.plans import planned


def in_house(store, name, air_c):
    session = f"S {name}"
    store.sessions.add(CrossingSession(session, CUT.date(), name, ("Ida",)))
    if air_c is not None:
        room = Constant(air_c, CUT - DAY, CUT + 300 * DAY)
        store.temperatures.add(name, room, zone="UTC", by="Ida")
    return session


def test_a_changed_number_holds_for_its_crop_alone_and_the_latest_one_does(store):
    season = season_of(store, now=NOW)
    before = {crop: season.numbers(crop).receptive_best for crop in CROPS}
    store.numbers.add("wheat", "receptive_best", 60, by="Ida", reason="own trial")
    store.numbers.add("wheat", "receptive_best", 65, by="Ida", reason="second season")
    after = {crop: season.numbers(crop).receptive_best for crop in CROPS}
    assert after == before | {"wheat": 65}
    entry = season.numbers("wheat").entry("receptive_best")
    assert (entry.changed, entry.default) == (True, before["wheat"])


def test_a_place_without_temperatures_has_no_course(store):
    season = season_of(store, now=NOW)
    numbers = season.numbers("wheat")
    assert season.course("House 2", numbers) is season.course("", numbers) is None
    assert season.measured("House 2", numbers) == season.measured("", numbers) == ()


def test_temperatures_are_continued_ahead_and_told_as_such(store):
    days = tuple(DailyReading((CUT + day * DAY).date(), 14, 22) for day in range(5))
    store.temperatures.add("House 2", days, zone="UTC", by="Ida")
    season = season_of(store, now=NOW)
    course = season.course("House 2", season.numbers("wheat"))
    (measured,) = season.measured("House 2", season.numbers("wheat"))
    assert course.ahead.start == measured.end == (CUT + 5 * DAY).replace(hour=0)
    assert course.ahead.air_c == pytest.approx(18)
    assert course.course.end >= NOW + 199 * DAY


def test_a_day_typed_ahead_changes_no_deadline_before_it(store):
    """20 degree-days at 25 degrees C: 19.2 hours."""
    session = in_house(store, "House 2", None)
    days = tuple(DailyReading((CUT + day * DAY).date(), 20, 30) for day in range(-1, 2))
    store.temperatures.add("House 2", days, zone="UTC", by="Ida")
    did(store, 1, Emasculated(20, 60), session=session)
    checked(store, 1, CUT)
    season = season_of(store, now=CUT + HOUR)
    held, (task,) = season.check_holds_until(store.spikes.one("C-1", 1)), season.agenda()
    assert (held.at - CUT) / HOUR == pytest.approx(19.2)
    ahead = DailyReading((CUT + 14 * DAY).date(), 5, 9)
    store.temperatures.add("House 2", (ahead,), zone="UTC", by="Ida")
    assert season.check_holds_until(store.spikes.one("C-1", 1)) == held
    assert season.agenda() == (task,)


def test_a_single_reading_leaves_the_agenda_to_assumed_days(store):
    session = in_house(store, "House 2", None)
    store.temperatures.add("House 2", (Reading(CUT, 20),), zone="UTC", by="Ida")
    did(store, 1, Emasculated(20, 60), session=session)
    (task,) = season_of(store, now=NOW).agenda()
    assert task.remark.endswith("are assumed.")


def test_each_spike_goes_by_the_temperatures_of_its_place(store):
    """54 degree-days to the best time for pollen, base 0: 2.7 days at 20 degrees C, 5.4 at 10."""
    for spike, (house, air_c) in enumerate([("Warm", 20.0), ("Cool", 10.0), ("None", None)], 1):
        did(store, spike, Emasculated(20, 60), session=in_house(store, house, air_c))
        checked(store, spike, CUT)
    season = season_of(store, now=CUT + 0.1 * DAY)
    held = [season.check_holds_until(one) for one in store.spikes.of_cross("C-1")]
    assert [(until.at - CUT) / DAY for until in held] == pytest.approx([1, 2, 20 / 23], abs=1e-3)
    assert [until.basis for until in held] == ["measured", "measured", "assumed"]
    kinds = {task.spike: task for task in season.agenda()}
    assert {task.kind for task in kinds.values()} == {TaskKind.BAG}
    assert [bool(kinds[spike].remark) for spike in (1, 2, 3)] == [False, False, True]


def test_only_a_checked_spike_has_a_check_that_holds(store):
    assert season_of(store, now=NOW).check_holds_until(did(store, 1, Selected(55))) is None


def test_the_agenda_takes_open_spikes_or_those_it_is_given(store):
    store.plans.add(planned("B-1", crop="barley"))
    did(store, 1, Selected(55), NOW - HOUR)
    did(store, 2, Emasculated(20, 60), NOW - HOUR)
    checked(store, 2, NOW - HOUR / 2, verdict=Verdict.REVIEW)
    season = season_of(store, now=NOW)
    assert {(task.spike, task.kind) for task in season.agenda()} == {
        (1, TaskKind.EMASCULATE), (2, TaskKind.GO_BACK),
    }  # fmt: skip
    one = store.spikes.one("C-1", 1)
    assert [task.spike for task in season.agenda([one])] == [1]
    assert season.agenda([]) == ()


def test_now_needs_a_time_zone(store):
    with pytest.raises(SeasonError, match="has no time zone"):
        season_of(store, now=datetime(2026, 5, 4))  # noqa: DTZ001


def test_temperatures_of_a_place_are_read_once_for_all_its_spikes(store, monkeypatch):
    """A year of a logger's readings takes a while to read and join."""
    asked = []
    of_place = type(store.temperatures).of_place

    def counted(records, place):
        asked.append(place)
        return of_place(records, place)

    monkeypatch.setattr(type(store.temperatures), "of_place", counted)
    season = season_of(store, now=NOW)
    numbers = season.numbers("wheat")
    assert {season.course("House 2", numbers) for _ in range(20)} == {None}
    assert asked == ["House 2"]
