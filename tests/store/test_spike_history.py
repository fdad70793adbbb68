"""Spikes' histories in the store: added to, corrected, refused; tags belong to one spike."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from spikecheck.errors import StepError, StoreError, TagError, UnknownCrossError, UsageError
from spikecheck.vocabulary import CrossingSession, Step, StepKind, Verdict
from spikecheck.vocabulary.steps import (
    Bagged,
    Checked,
    Emasculated,
    GivenUp,
    Pollinated,
    Selected,
    Tagged,
)
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.store import NewCheck, Store

AGO = datetime.now(UTC) - timedelta(days=10)


@pytest.fixture(autouse=True)
def _planned(request: pytest.FixtureRequest) -> None:
    if "store" in request.fixturenames:
        store: Store = request.getfixturevalue("store")
        store.plans.add(planned("C-1", "Ferra", "Olmo"))
        store.plans.add(planned("C-2", "Tarn", "Olmo"))


def did(detail: object, hours: float = 0.0, **rest: str) -> Step:
    return Step(detail, at=AGO + timedelta(hours=hours), by="Ida", **rest)  # type: ignore[arg-type]


def test_steps_add_up_and_come_back(store: Store):
    store.spikes.add("C-1", 3, did(Selected(55)))
    record = store.spikes.add("C-1", 3, did(Emasculated(20, 60, "clip"), 1, note="windy"))
    assert record == store.spikes.one("C-1", 3)
    assert (record.growth_stage, record.florets, record.method) == (55, 20, "clip")
    assert (record.crop, record.female, record.male) == ("wheat", "Ferra", "Olmo")
    entries = store.spikes.entries("C-1", 3)
    assert [one.kind for one in entries] == [StepKind.SELECTED, StepKind.EMASCULATED]
    assert entries[1].step == did(Emasculated(20, 60, "clip"), 1, note="windy")
    assert store.spikes.of_cross("C-1") == (record,)
    assert list(store.spikes.all()) == [record]
    assert store.spikes.open() == (record,)


def test_check_and_override_are_part_of_the_history(
    store: Store, make_check: Callable[..., NewCheck]
):
    store.spikes.add("C-1", 3, did(Emasculated(20, 60)))
    check = store.add_check(make_check(), cross="C-1", spike=3, by="Ida")
    record = store.spikes.one("C-1", 3)
    assert (record.check, record.verdict, record.checked_by) == (check.id, Verdict.REVIEW, "Ida")
    now = datetime.now(UTC)
    with pytest.raises(StepError, match=f"stands at review \\(check {check.id}\\)"):
        store.spikes.add("C-1", 3, Step(Bagged(), at=now, by="Ida"))
    store.override(check.id, "Bo", "palea")
    record = store.spikes.add("C-1", 3, Step(Bagged(), at=datetime.now(UTC), by="Ida"))
    assert (record.verdict, record.overridden) == (Verdict.PASS, True)
    kinds = [one.kind for one in store.spikes.entries("C-1", 3)]
    assert kinds == ["emasculated", "checked", "overridden", "bagged"]
    detail = store.spikes.entries("C-1", 3)[1].step.detail
    assert detail.photos == (check.photos[0].sha256,)
    assert detail.overlays == (check.photos[0].overlay_sha256,)


def test_refused_step_leaves_nothing(store: Store):
    with pytest.raises(StepError, match="C-1/3: cannot be pollinated"):
        store.spikes.add("C-1", 3, did(Pollinated("Olmo")))
    assert store.spikes.entries("C-1", 3) == ()
    with pytest.raises(StoreError, match="nothing is recorded of spike C-1/3"):
        store.spikes.one("C-1", 3)
    assert store.verify().faults == ()


def test_future_is_refused(store: Store):
    ahead = datetime.now(UTC) + timedelta(minutes=5)
    with pytest.raises(StepError, match=r"lies in the future\. Give the moment"):
        store.spikes.add("C-1", 3, Step(Selected(), at=ahead, by="Ida"))


def test_moment_needs_a_time_zone(store: Store):
    naive = datetime(2026, 5, 4, 7)  # noqa: DTZ001  (that is the point)
    with pytest.raises(UsageError, match="has no time zone"):
        store.spikes.add("C-1", 3, Step(Selected(), at=naive, by="Ida"))


def test_late_note_takes_its_place(store: Store):
    store.spikes.add("C-1", 3, did(Emasculated(20, 60), 5))
    record = store.spikes.add("C-1", 3, did(Selected(57), 1))
    assert record.growth_stage == 57
    with pytest.raises(StepError, match="was selected already"):
        store.spikes.add("C-1", 3, did(Selected(57), 2))


def test_correction_replaces_and_the_old_entry_stays(store: Store):
    store.spikes.add("C-1", 3, did(Emasculated(20, 57)))
    wrong = store.spikes.entries("C-1", 3)[0].number
    record = store.spikes.correct(
        "C-1", 3, wrong, did(Emasculated(20, 60)), by="Bo", reason="counted again"
    )
    assert record.anthers == 60
    entries = store.spikes.entries("C-1", 3)
    assert [(one.corrects, one.reason, one.recorded_by) for one in entries] == [
        (None, "", "Ida"), (wrong, "counted again", "Bo"),
    ]  # fmt: skip
    assert entries[0].step.detail == Emasculated(20, 57)
    with pytest.raises(StepError, match=f"entry {wrong} was corrected by entry"):
        store.spikes.correct("C-1", 3, wrong, None, by="Bo", reason="again")


def test_taking_back_what_others_rest_on_is_refused(store: Store):
    store.spikes.add("C-1", 3, did(Emasculated(20, 60)))
    store.spikes.add("C-1", 3, did(Bagged("no camera"), 1))
    number = store.spikes.entries("C-1", 3)[0].number
    with pytest.raises(StepError, match=r"cannot be bagged on .* was not emasculated yet"):
        store.spikes.correct("C-1", 3, number, None, by="Bo", reason="other spike")
    assert len(store.spikes.entries("C-1", 3)) == 2


def test_correction_is_of_the_same_kind_and_has_a_reason(store: Store):
    store.spikes.add("C-1", 3, did(Selected(55)))
    number = store.spikes.entries("C-1", 3)[0].number
    with pytest.raises(UsageError, match=r"is selected\. Take it back"):
        store.spikes.correct("C-1", 3, number, did(GivenUp("x")), by="Bo", reason="wrong")
    with pytest.raises(UsageError, match="the reason of the correction is empty"):
        store.spikes.correct("C-1", 3, number, None, by="Bo", reason=" ")


def test_checks_come_with_photos_only(store: Store):
    detail = Checked(1, Verdict.PASS, False, "a" * 64, (), ())
    with pytest.raises(UsageError, match="filed with their photos"):
        store.spikes.add("C-1", 3, did(detail))


def test_tag_belongs_to_one_spike(store: Store):
    store.spikes.add("C-1", 3, did(Tagged("K7Q29XMT")))
    assert store.spikes.of_tag("K7Q29XMT") == ("C-1", 3)
    with pytest.raises(TagError, match="the tag K7Q2 9XMT belongs to spike C-1/3"):
        store.spikes.add("C-2", 1, did(Tagged("K7Q29XMT")))
    assert store.spikes.entries("C-2", 1) == ()


def test_lost_tag_still_names_its_spike_and_a_tag_typed_wrong_is_free_again(store: Store):
    store.spikes.add("C-1", 3, did(Tagged("OLD"), 0))
    record = store.spikes.add("C-1", 3, did(Tagged("NEW"), 1))
    assert record.tag == "NEW"
    assert store.spikes.of_tag("OLD") == store.spikes.of_tag("NEW") == ("C-1", 3)
    wrong = store.spikes.entries("C-1", 3)[1].number
    record = store.spikes.correct("C-1", 3, wrong, None, by="Bo", reason="of another spike")
    assert record.tag == "OLD"
    store.spikes.add("C-2", 1, did(Tagged("NEW")))
    assert store.spikes.of_tag("NEW") == ("C-2", 1)
    assert store.verify().faults == ()


def test_photo_with_the_tag_of_another_spike_stops_the_recording(
    store: Store, make_check: Callable[..., NewCheck]
):
    store.spikes.add("C-1", 3, did(Tagged("K7Q29XMT")))
    shown = replace(make_check(), tags=("K7Q29XMT",))
    with pytest.raises(TagError, match="belongs to spike C-1/3, not to C-2/3"):
        store.add_check(shown, cross="C-2", spike=3, by="Ida")
    with pytest.raises(TagError, match="no spike has the tag ZZZZ"):
        store.add_check(replace(shown, tags=("K7Q29XMT", "ZZZZ")), cross="C-1", spike=3, by="Ida")
    assert store.checks("C-2") == ()
    assert store.add_check(shown, cross="C-1", spike=3, by="Ida").spike == 3


def test_spikes_get_their_tags_once(store: Store):
    codes = iter(f"TAG{number}" for number in range(20))
    first = store.spikes.give_tags("C-1", [1, 2, 3], new_code=lambda: next(codes), by="Ida")
    again = store.spikes.give_tags("C-1", [2, 3, 4], new_code=lambda: next(codes), by="Ida")
    assert [one.tag for one in first] == ["TAG0", "TAG1", "TAG2"]
    assert [one.tag for one in again] == ["TAG1", "TAG2", "TAG3"]
    assert store.verify().faults == ()


def test_sessions(store: Store):
    session = CrossingSession("S1", date(2026, 5, 4), "House 2", ("Ida", "Bo"), "warm")
    assert store.sessions.add(session) == session
    assert store.sessions.all() == (session,)
    assert store.sessions.one("S1") == session
    with pytest.raises(UsageError, match="the session S1 is recorded already"):
        store.sessions.add(session)
    record = store.spikes.add("C-1", 3, did(Emasculated(20, 60), session="S1"))
    assert (record.session, record.place) == ("S1", "House 2")
    assert store.spikes.in_session("S1") == (record,)
    with pytest.raises(StoreError, match="no session S2 is recorded"):
        store.spikes.add("C-1", 4, did(Emasculated(20, 60), session="S2"))
    assert store.verify().faults == ()


def test_unknown_cross_is_told(store: Store):
    with pytest.raises(UnknownCrossError, match="Did you mean"):
        store.spikes.add("C-11", 3, did(Selected()))
    with pytest.raises(UsageError, match="spikes are numbered from 1"):
        store.spikes.add("C-1", 0, did(Selected()))


def test_any_script_comes_back(store: Store):
    step = did(Emasculated(20, 60, "スリット — ножницы"), note="ñandú μ\nline two 🌾")
    record = store.spikes.add("C-1", 3, step)
    assert record.method == "スリット — ножницы"
    assert store.spikes.entries("C-1", 3)[0].step == step
    assert store.verify().faults == ()


def test_several_spikes_at_once_or_none(store: Store):
    cut = Emasculated(20, 60)
    store.spikes.add_all([("C-1", number, did(cut)) for number in (1, 2, 3)])
    assert len(store.spikes.of_cross("C-1")) == 3
    with pytest.raises(StepError, match="C-1/3: cannot be emasculated"):
        store.spikes.add_all([("C-1", 4, did(cut)), ("C-1", 3, did(cut, 1))])
    assert len(store.spikes.of_cross("C-1")) == 3
    assert store.verify().faults == ()


def test_a_code_that_is_taken_is_not_given_again(store: Store):
    codes = iter(["A", "A", "B"])
    given = store.spikes.give_tags("C-1", [1, 2], new_code=lambda: next(codes), by="Ida")
    assert [one.tag for one in given] == ["A", "B"]
