"""Steps recorded with the rules that need temperatures, and what is remarked."""

from __future__ import annotations

from datetime import timedelta

import pytest

from spikecheck.bookkeeping.recording import as_it_stands, correct_step, record_steps
from spikecheck.errors import StepError, UnknownCrossError, UsageError
from spikecheck.vocabulary import CrossingSession, Step, StepKind, Verdict
from spikecheck.vocabulary.steps import Bagged, Emasculated, Pollinated, Selected
from spikecheck.vocabulary.temperatures import Constant
from tests.bookkeeping.invented import CUT, DAY, HOUR, NOW, checked, did

PULLED = Emasculated(20, 60)


def record(store, detail, *, spikes=(("C-1", 1),), at=CUT, **more):
    return record_steps(store, spikes, lambda _: detail, at=at, by="Ida", now=NOW, **more)


def remarks(store, detail):
    (one,) = record(store, detail)
    return one.remarks


def emasculated_at(store, place, air_c):
    """Spike 1 in a place that is held at a temperature."""
    store.sessions.add(CrossingSession("S-1", CUT.date(), place, ("Ida",)))
    room = Constant(air_c, CUT - DAY, CUT + 300 * DAY)
    store.temperatures.add(place, room, zone="UTC", by="Ida")
    did(store, 1, PULLED, session="S-1")


@pytest.mark.parametrize(
    ("anthers", "said"),
    [
        (60, ()),
        (57, ("3 of 60 anthers are not accounted for: look for them before bagging.",)),
        (63, ("20 florets hold 60 anthers, 63 were counted: count the florets again.",)),
    ],
)
def test_anthers_are_three_a_floret(store, anthers, said):
    """A floret of wheat holds three anthers (Percival 1921, The Wheat Plant; from memory)."""
    assert remarks(store, Emasculated(20, anthers)) == said


@pytest.mark.parametrize(
    ("stage", "remarked"),
    [(None, False), (48, True), (49, False), (55, False), (59, False), (60, True), (0, True)],
)
def test_a_stage_at_which_no_spike_is_chosen_is_remarked(store, stage, remarked):
    """49: first awns visible; 51 to 59: heading; from 61 on anthesis (BBCH scale of cereals)."""
    said = remarks(store, Selected(stage))
    assert bool(said) is remarked
    if remarked:
        assert f"Growth stage {stage} is outside of 49 to 59" in said[0]


def test_limits_that_the_programme_changed_hold(store):
    store.numbers.add("wheat", "stage_most", 62, by="Ida", reason="own trial")
    store.numbers.add("wheat", "anthers_per_floret", 2, by="Ida", reason="own trial")
    assert remarks(store, Selected(61)) == ()
    assert remarks(store, Emasculated(20, 40)) == ()


def test_another_male_is_remarked(store):
    did(store, 1, PULLED)
    did(store, 1, Bagged("no camera"), CUT + HOUR)
    (one,) = record(store, Pollinated("Tarn", None, "Olmo shed early"), at=CUT + 3 * DAY)
    assert one.remarks == ("The male is Tarn, planned was Olmo.",)


def test_several_are_recorded_all_or_none(store):
    did(store, 2, PULLED)
    with pytest.raises(StepError, match="C-1/2: cannot be emasculated"):
        record(store, PULLED, spikes=(("C-1", 1), ("C-1", 2), ("C-1", 3)))
    assert store.spikes.entries("C-1", 1) == store.spikes.entries("C-1", 3) == ()
    with pytest.raises(UnknownCrossError):
        record(store, PULLED, spikes=(("C-1", 1), ("C-9", 1)))
    assert store.spikes.entries("C-1", 1) == ()
    told = record(store, PULLED, spikes=(("C-1", 3), ("C-1", 1)), note="hot")
    assert [one.record.spike for one in told] == [3, 1]
    assert store.spikes.entries("C-1", 3)[0].step.note == "hot"


@pytest.mark.parametrize(
    ("air_c", "near_anthesis", "hours"),
    [(20.0, False, 24), (10.0, False, 48), (20.0, True, 6), (10.0, True, 12)],
)
def test_a_check_holds_for_its_degree_days_at_the_place(store, air_c, near_anthesis, hours):
    """20 degree-days after a clean check and 5 near anthesis: at 20 degrees C a day and a quarter
    of one, at 10 twice as long."""
    emasculated_at(store, "House 2", air_c)
    checked(store, 1, CUT, near_anthesis=near_anthesis)
    last = CUT + hours * HOUR
    with pytest.raises(StepError, match="held until") as refused:
        record(store, Bagged(), at=last + timedelta(minutes=2))
    assert ("an anther near anthesis" in str(refused.value)) is near_anthesis
    assert f"held until {last:%Y-%m-%d %H:%M}" in str(refused.value)
    assert [one.kind for one in store.spikes.entries("C-1", 1)] == [
        StepKind.EMASCULATED, StepKind.CHECKED,
    ]  # fmt: skip
    (one,) = record(store, Bagged(), at=last - timedelta(minutes=2))
    assert one.record.bagged_at == last - timedelta(minutes=2)


def test_without_temperatures_a_check_holds_as_on_assumed_warm_days(store):
    """Days of 18 degrees C are assumed, and up to 5 more to be on the safe side: 20 degree-days
    are over after 20 / 23 of a day."""
    did(store, 1, PULLED)
    checked(store, 1, CUT)
    last = CUT + 20 / 23 * DAY
    told = last.replace(minute=0)  # the reckoned moment is kept, its full hour is told
    with pytest.raises(StepError, match=f"held until about {told:%Y-%m-%d %H:%M}: it cannot"):
        record(store, Bagged(), at=last + 2 * timedelta(minutes=1))
    record(store, Bagged(), at=last - 2 * timedelta(minutes=1))


def test_a_reason_bags_on_a_check_that_holds_no_more(store):
    emasculated_at(store, "House 2", 20.0)
    checked(store, 1, CUT)
    (one,) = record(store, Bagged("the camera broke"), at=CUT + 3 * DAY)
    assert one.record.bagged_at == CUT + 3 * DAY


def test_a_later_check_says_nothing_of_an_earlier_bag(store):
    emasculated_at(store, "House 2", 20.0)
    checked(store, 1, CUT)
    checked(store, 1, CUT + 4 * DAY)
    with pytest.raises(StepError, match=f"held until {CUT + DAY:%Y-%m-%d %H:%M}"):
        record(store, Bagged(), at=CUT + 3 * DAY)
    record(store, Bagged(), at=CUT + 4 * DAY + HOUR)


def test_a_later_anther_near_anthesis_does_not_shorten_an_earlier_check(store):
    emasculated_at(store, "House 2", 20.0)
    checked(store, 1, CUT)
    checked(store, 1, CUT + 2 * DAY, near_anthesis=True)
    record(store, Bagged(), at=CUT + 20 * HOUR)


def test_a_correction_does_not_move_a_bag_past_its_check(store):
    emasculated_at(store, "House 2", 20.0)
    checked(store, 1, CUT)
    record(store, Bagged(), at=CUT + HOUR)
    entry = store.spikes.entries("C-1", 1)[-1].number
    late = {"at": CUT + 2 * DAY, "by": "Bo", "reason": "typed wrong"}
    with pytest.raises(StepError, match="held until"):
        correct_step(store, ("C-1", 1), entry, lambda _: Bagged(), **late)
    assert store.spikes.one("C-1", 1).bagged_at == CUT + HOUR
    after = correct_step(store, ("C-1", 1), entry, lambda _: Bagged("it rained"), **late)
    assert after.bagged_at == CUT + 2 * DAY


def test_review_is_never_bagged_however_fresh(store):
    did(store, 1, PULLED)
    checked(store, 1, CUT, verdict=Verdict.REVIEW)
    for detail in (Bagged(), Bagged("in a hurry")):
        with pytest.raises(StepError, match="stands at review"):
            record(store, detail, at=CUT + HOUR)


def test_a_correction_keeps_what_is_not_given(store):
    for name in ("S-1", "S-2"):
        store.sessions.add(CrossingSession(name, CUT.date(), f"House {name[-1]}", ("Ida",)))
    did(store, 1, PULLED, session="S-1", note="windy")
    first = store.spikes.entries("C-1", 1)[0]
    after = correct_step(
        store, ("C-1", 1), first.number, lambda _: Emasculated(19, 57), by="Bo", reason="19"
    )
    second = store.spikes.entries("C-1", 1)[-1]
    assert second.step == Step(Emasculated(19, 57), first.step.at, "Ida", "S-1", "windy")
    assert (second.recorded_by, second.reason, second.corrects) == ("Bo", "19", first.number)
    assert (after.florets, after.emasculated_by, after.place) == (19, "Ida", "House 1")
    moved = correct_step(
        store, ("C-1", 1), second.number, lambda _: Emasculated(19, 57), at=CUT - HOUR,
        session="S-2", note="", by="Bo", reason="in house 2",
    )  # fmt: skip
    third = store.spikes.entries("C-1", 1)[-1].step
    assert (third.at, third.session, third.note) == (CUT - HOUR, "S-2", "")
    assert moved.place == "House 2"


def test_what_is_taken_back_is_gone_and_stays_readable(store):
    did(store, 1, PULLED)
    number = store.spikes.entries("C-1", 1)[0].number
    after = correct_step(store, ("C-1", 1), number, None, by="Bo", reason="other spike")
    assert after.emasculated_at is None
    assert [one.step is None for one in store.spikes.entries("C-1", 1)] == [False, True]


def test_what_cannot_be_corrected_is_told(store):
    did(store, 1, PULLED)
    check = checked(store, 1, CUT + HOUR)
    numbers = {one.kind: one.number for one in store.spikes.entries("C-1", 1)}
    by = {"by": "Bo", "reason": "wrong"}
    for entry in (999, numbers[StepKind.EMASCULATED]):
        with pytest.raises(StepError, match=f"C-1/2 has no entry {entry} to correct"):
            correct_step(store, ("C-1", 2), entry, lambda _: PULLED, **by)
    with pytest.raises(UsageError, match="is emasculated"):
        correct_step(store, ("C-1", 1), numbers[StepKind.EMASCULATED], lambda _: Bagged("x"), **by)
    with pytest.raises(StepError, match="is a check or an override"):
        correct_step(store, ("C-1", 1), numbers[StepKind.CHECKED], None, **by)
    with pytest.raises(UsageError, match="the reason of the correction is empty"):
        correct_step(store, ("C-1", 1), numbers[StepKind.EMASCULATED], None, by="Bo", reason="  ")
    assert store.check(check.id).standing_verdict is Verdict.PASS


def test_a_spike_of_which_nothing_is_recorded_stands_at_its_beginning(store):
    record = as_it_stands(store, "C-1", 7)
    assert (record.cross, record.spike, record.male, record.selected_at) == ("C-1", 7, "Olmo", None)
    with pytest.raises(UnknownCrossError):
        as_it_stands(store, "C-9", 7)
