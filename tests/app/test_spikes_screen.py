"""Spikes: found by name, tag, session and cross; a step of one or of several is recorded."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from html import escape
from typing import TYPE_CHECKING

import pytest

from literal import NASTY_ID, read_as_markup
from season_steps import CROSS, bag, did, emasculate, pollinate
from spikecheck.vocabulary import CrossingSession, StepKind
from spikecheck.vocabulary.steps import Emasculated, GivenUp, Harvested, Rebagged, Selected, Tagged
from spikecheck.vocabulary.tag_code import new_code, shown_code
from tests.plans import planned

if TYPE_CHECKING:
    from spikecheck.store import Store
    from spikecheck.vocabulary.steps import StepDetail
    from visitor import Visitor


def open_spike(visitor: Visitor, name: str) -> None:
    visitor.go_to("spikes")
    visitor.page.text_input("spike-name").set_value(name)
    visitor.press("Open this spike")


def fill(visitor: Visitor, **answers: object) -> None:
    """Fill in the form of a step, by the end of each input's key, and send it."""
    for name, answer in answers.items():
        inputs = [*visitor.page.text_input, *visitor.page.number_input, *visitor.page.checkbox]
        (one,) = (one for one in inputs if str(one.key).endswith(f"-{name}")
                  or str(one.key).startswith(f"{name}-"))  # fmt: skip
        one.set_value(answer)
    visitor.press("Record this step")


def choose_step(visitor: Visitor, kind: StepKind) -> None:
    visitor.page.selectbox[0].set_value(kind).run()


def kinds(store: Store, spike: int) -> list[StepKind]:
    return [one.kind for one in store.spikes.entries(CROSS, spike)]


def test_a_spike_is_found_by_its_name_and_by_its_tag(visitor: Visitor, store: Store):
    code = new_code()
    did(store, 3, Tagged(code))
    for name in (f"{CROSS}/3", f" {shown_code(code).lower()} "):
        open_spike(visitor, name)
        assert f"Spike {CROSS}/3" in visitor.said()
        assert f"Tag {shown_code(code)}" in visitor.said()
        visitor.press("Back to the list of spikes")


def test_what_names_no_spike_is_told(visitor: Visitor):
    open_spike(visitor, "nonsense")
    assert "names no spike" in visitor.said()


def test_an_empty_list_says_how_to_begin(visitor: Visitor):
    visitor.go_to("spikes")
    assert "To begin one, type its cross and number above" in visitor.said()


def test_the_list_is_narrowed_to_a_session_and_a_cross(visitor: Visitor, store: Store):
    store.plans.add(planned("B-1", "Ferra", "Olmo"))
    store.sessions.add(CrossingSession("S-1", date(2026, 5, 3), "", ()))
    emasculate(store, 1)
    emasculate(store, 2, session="S-1")
    did(store, 1, Emasculated(9, 27), cross="B-1", session="S-1")
    visitor.go_to("spikes")
    assert sorted(visitor.listed()) == ["B-1/1", f"{CROSS}/1", f"{CROSS}/2"]
    visitor.page.selectbox("list-session").set_value("S-1").run()
    assert sorted(visitor.listed()) == ["B-1/1", f"{CROSS}/2"]
    visitor.page.selectbox("list-cross").set_value("B-1").run()
    assert visitor.listed() == ["B-1/1"]


def test_a_long_list_comes_a_page_at_a_time(visitor: Visitor, store: Store):
    emasculate(store, *range(1, 61))
    visitor.go_to("spikes")
    names = [f"{CROSS}/{number}" for number in range(1, 61)]
    assert visitor.listed() == names[:25]
    assert "Spikes 1 to 25 of 60" in visitor.said()
    assert "Page before" not in visitor.labels()
    visitor.press("Next page")
    assert visitor.listed() == names[25:50]
    visitor.press("Next page")
    assert visitor.listed() == names[50:]
    assert "Spikes 51 to 60 of 60" in visitor.said()
    assert "Next page" not in visitor.labels()
    visitor.press("Page before")
    assert visitor.listed() == names[25:50]
    did(store, 30, GivenUp("hail"))
    for number in range(31, 61):
        did(store, number, GivenUp("hail"))
    visitor.page.run()  # shorter by now: the last page there is
    assert visitor.listed() == names[25:29]


def test_the_most_urgent_come_first_each_with_its_moment(visitor: Visitor, store: Store):
    emasculate(store, 1, hours_ago=24 * 20)
    emasculate(store, 2, hours_ago=30)
    emasculate(store, 3, hours_ago=1)
    emasculate(store, 4, hours_ago=24 * 5)
    bag(store, 4)
    pollinate(store, 4)
    did(store, 4, Rebagged())
    emasculate(store, 5, hours_ago=2)
    did(store, 6, GivenUp("hail"))
    visitor.go_to("spikes")
    visitor.page.selectbox("list-cross").set_value(CROSS).run()
    assert visitor.listed() == [f"{CROSS}/{number}" for number in (1, 2, 5, 3, 4, 6)]
    said = visitor.said()
    assert "Overdue.</strong> Take photos and check by " in said.partition(f"{CROSS}/5")[0]
    assert "Overdue" not in said.partition(f"{CROSS}/3")[2]
    assert "Harvest: from " in said.partition(f"{CROSS}/4")[2]
    assert "given up" in said.partition(f"{CROSS}/6")[2]
    visitor.page.button(f"open-{CROSS}/4").click().run()
    assert f"Spike {CROSS}/4" in visitor.said()


def test_anthers_that_are_not_accounted_for_are_to_be_looked_for(visitor: Visitor, store: Store):
    open_spike(visitor, f"{CROSS}/3")
    fill(visitor, florets=20, anthers=57, yellow=True, by="Ilse", note="windy")
    record = store.spikes.one(CROSS, 3)
    assert (record.florets, record.anthers, record.near_anthesis) == (20, 57, True)
    assert record.emasculated_by == "Ilse"
    assert "Look again: 3 of 60 anthers are not accounted for" in visitor.said()
    assert "Next: Take photos and check by " in visitor.said()
    assert "emasculated, 20 florets, 57 anthers pulled" in visitor.said()


def test_a_missing_count_is_told_and_what_was_typed_stays(visitor: Visitor, store: Store):
    open_spike(visitor, f"{CROSS}/3")
    fill(visitor, florets=20, by="Ilse")
    assert "anthers pulled: no number is given" in visitor.said()
    assert kinds(store, 3) == []
    fill(visitor, anthers=60)
    assert kinds(store, 3) == [StepKind.EMASCULATED]


def test_the_step_that_comes_next_is_offered_first(visitor: Visitor, store: Store):
    emasculate(store, 3)
    open_spike(visitor, f"{CROSS}/3")
    assert visitor.page.selectbox[0].value is None  # a check comes next: nobody is led past it
    bag(store, 3)
    visitor.page.run()
    assert visitor.page.selectbox[0].value is StepKind.POLLINATED
    fill(visitor, by="Ilse")
    assert store.spikes.one(CROSS, 3).pollinated_male == "Tiefland 3"
    assert visitor.page.selectbox[0].value is StepKind.REBAGGED


def test_every_step_is_reached_to_the_seed_test(visitor: Visitor, store: Store):
    emasculate(store, 3)
    open_spike(visitor, f"{CROSS}/3")
    choose_step(visitor, StepKind.TAGGED)
    fill(visitor, code=new_code(), by="Ilse")
    choose_step(visitor, StepKind.BAGGED)
    fill(visitor, unchecked="no camera")
    fill(visitor, male="Olmo", other="no pollen of the other")
    fill(visitor)
    fill(visitor)
    for third in ("basal", "central", "apical"):
        fill_third = {f"{third}-seeds": 3, f"{third}-florets": 6}
        for name, value in fill_third.items():
            (one,) = (w for w in visitor.page.number_input if str(w.key).endswith(name))
            one.set_value(value)
    fill(visitor)
    fill(visitor, tested=8, selfed=1)
    record = store.spikes.one(CROSS, 3)
    assert (record.seeds, record.seed_florets, record.tested, record.selfed) == (9, 18, 8, 1)
    assert record.pollinated_male == "Olmo"
    assert kinds(store, 3)[-5:] == [
        StepKind.POLLINATED, StepKind.REBAGGED, StepKind.HARVESTED, StepKind.THRESHED,
        StepKind.SEED_TESTED,
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "answers", "known"),
    [
        (StepKind.SELECTED, {"stage": 55}, ("growth_stage", 55)),
        (StepKind.KEPT_AS_CONTROL, {}, ("control", True)),
        (StepKind.GIVEN_UP, {"why": "hail"}, ("given_up_reason", "hail")),
    ],
)
def test_the_other_steps_too(visitor: Visitor, store: Store, kind, answers, known):
    open_spike(visitor, f"{CROSS}/3")
    choose_step(visitor, kind)
    fill(visitor, by="Ilse", **answers)
    assert getattr(store.spikes.one(CROSS, 3), known[0]) == known[1]


def test_a_step_may_have_happened_earlier_but_not_in_the_future(
    visitor: Visitor, store: Store, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setenv("SPIKECHECK_ZONE", "UTC")  # where no hour comes twice, or not at all
    emasculate(store, 3, hours_ago=50)
    bag(store, 3, hours_ago=49)
    open_spike(visitor, f"{CROSS}/3")
    visitor.page.toggle[0].set_value(True).run()
    now = datetime.now(UTC).replace(second=0, microsecond=0, tzinfo=None)  # as it is typed
    visitor.page.datetime_input[0].set_value(now + timedelta(hours=2))
    fill(visitor, by="Ilse")
    assert "lies in the future" in visitor.said()
    visitor.page.datetime_input[0].set_value(None)
    fill(visitor)
    assert "no moment is given" in visitor.said()
    visitor.page.datetime_input[0].set_value(now - timedelta(hours=2))
    fill(visitor)
    at = store.spikes.one(CROSS, 3).pollinated_at
    assert at is not None
    assert at == (now - timedelta(hours=2)).replace(tzinfo=UTC)


def test_a_page_older_than_the_history_shows_why_the_store_refuses(
    visitor: Visitor, store: Store
):  # fmt: skip
    emasculate(store, 3)
    bag(store, 3)
    open_spike(visitor, f"{CROSS}/3")
    did(store, 3, GivenUp("broken by hail"), by="Bo")
    fill(visitor, by="Ilse")
    assert "it was given up on" in visitor.said()
    assert kinds(store, 3)[-1] is StepKind.GIVEN_UP


def test_a_page_older_than_the_history_makes_no_two_of_one_step(visitor: Visitor, store: Store):
    emasculate(store, 3)
    bag(store, 3)
    open_spike(visitor, f"{CROSS}/3")
    pollinate(store, 3)
    fill(visitor, by="Bo")
    assert "pollinated was recorded by Ilse on" in visitor.said()
    assert kinds(store, 3).count(StepKind.POLLINATED) == 1


@pytest.mark.parametrize("last", [Harvested(), GivenUp("lodged")])
def test_no_photos_are_asked_for_where_no_check_can_be_recorded_any_more(
    visitor: Visitor, store: Store, last: StepDetail
):
    emasculate(store, 5)
    if isinstance(last, Harvested):
        bag(store, 5)
        pollinate(store, 5)
    open_spike(visitor, "SPICA-7/5")
    assert "Take photos and check this spike" in visitor.labels()
    did(store, 5, last)
    visitor.page.run()
    assert "Spike SPICA-7/5" in visitor.said()
    assert "Take photos and check this spike" not in visitor.labels()


def test_where_a_reason_is_given_is_told_for_the_page_too(visitor: Visitor, store: Store):
    emasculate(store, 5)
    open_spike(visitor, "SPICA-7/5")
    choose_step(visitor, StepKind.BAGGED)
    fill(visitor, by="Ilse")
    assert "give the reason why not: on the page of the spike, in a command" in visitor.said()


def test_an_entry_is_taken_back_with_a_reason(visitor: Visitor, store: Store):
    emasculate(store, 3)
    bag(store, 3)
    open_spike(visitor, f"{CROSS}/3")
    (by,) = (one for one in visitor.page.text_input if str(one.key).startswith("back-by-"))
    by.set_value("Bo")
    visitor.press("Take it back")
    assert "the reason of the correction" in visitor.said()
    assert store.spikes.one(CROSS, 3).bagged_at is not None
    visitor.page.text_area[0].set_value("other spike")
    visitor.press("Take it back")
    assert store.spikes.one(CROSS, 3).bagged_at is None
    assert "is taken back: other spike" in visitor.said()
    newest = store.spikes.entries(CROSS, 3)[-1].number
    assert visitor.said().count(f"taken back by entry {newest}, holds no more") == 1


def test_the_history_is_told_in_the_order_of_time(visitor: Visitor, store: Store):
    emasculate(store, 3, hours_ago=2)
    did(store, 3, Selected(55), hours_ago=30)
    open_spike(visitor, f"{CROSS}/3")
    told = [one.value for one in visitor.page.text]
    assert told.index("selected, growth stage 55") < told.index(
        "emasculated, 20 florets, 60 anthers pulled"
    )


def test_the_same_step_of_several_is_recorded_at_once(visitor: Visitor, store: Store):
    emasculate(store, 1, 2, 3)
    bag(store, 1, 2, 3)
    pollinate(store, 1, 2, 3)
    visitor.go_to("agenda")
    visitor.press("Go to these spikes")
    visitor.go_to("spikes")
    visitor.page.toggle("several").set_value(True).run()
    visitor.page.text_area[0].set_value(f"{CROSS}/1, 3").run()
    fill(visitor, by="Ilse")
    assert kinds(store, 1)[-1] is StepKind.REBAGGED
    assert kinds(store, 2)[-1] is StepKind.POLLINATED
    assert kinds(store, 3)[-1] is StepKind.REBAGGED
    assert visitor.said().count("Recorded. ") == 2


def test_several_are_recorded_all_or_none(visitor: Visitor, store: Store):
    emasculate(store, 1, 2)
    bag(store, 1, 2)
    pollinate(store, 1, 2)
    visitor.go_to("agenda")
    visitor.press("Go to these spikes")
    visitor.go_to("spikes")
    visitor.page.toggle("several").set_value(True).run()
    did(store, 2, GivenUp("broken"), by="Bo")
    fill(visitor, by="Ilse")
    assert f"spike {CROSS}/2" in visitor.said()
    assert StepKind.REBAGGED not in kinds(store, 1)


def test_texts_are_shown_literally(visitor: Visitor, store: Store):
    text = NASTY_ID
    store.plans.add(planned(text, f"f{text}", text))
    emasculated = Emasculated(20, 60, text)
    did(store, 1, emasculated, cross=text, note=text, by=text, hours_ago=2)
    open_spike(visitor, f"{text}/1")
    choose_step(visitor, StepKind.GIVEN_UP)
    fill(visitor, why=text, by=text, note=text)
    assert f"Spike {escape(text)}/1" in visitor.said()
    assert f"given up, {text} ({text})" in visitor.said()
    assert text not in read_as_markup(visitor).replace(escape(text), "")
