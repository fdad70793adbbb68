"""The audit of a spike: what may follow what, and that nobody audits themselves."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import StepError, UsageError
from spikecheck.history.replay import may_be_corrected, replay
from spikecheck.history.step_json import read_step, step_data
from spikecheck.season.agenda import TaskKind
from spikecheck.season.agenda.next_step import next_step
from spikecheck.store.audit_text import audit_text, read_audit
from spikecheck.vocabulary import Entry, SpikeRecord, Step, Verdict
from spikecheck.vocabulary.audit_steps import (
    AuditDecided,
    AuditDecision,
    DrawnForAudit,
    LeftoverMark,
    Leftovers,
    ReadAgain,
)
from spikecheck.vocabulary.steps import (
    AUDIT_KINDS,
    Bagged,
    Emasculated,
    GivenUp,
    Harvested,
    KeptAsControl,
    Overridden,
    Pollinated,
    Rebagged,
    StepKind,
    kind_of,
)
from tests.history.spike_way import SPIKE, at, checked

SESSION, PLACES = "S-1", {"S-1": "House 2"}
MARK = LeftoverMark("b" * 64, 40, 30)
DRAWN = DrawnForAudit("ab" * 32, 40, 8, 0)
CLEAN = ReadAgain(1, Verdict.PASS, Leftovers.NONE)
FOUND = ReadAgain(1, Verdict.REVIEW, Leftovers.MARKED, (MARK,))
CONFIRMED = AuditDecided(1, AuditDecision.CONFIRMED, "", Leftovers.NONE)
SENT_BACK = AuditDecided(1, AuditDecision.SENT_BACK, "a tip", Leftovers.MARKED, (MARK,))
BAGGED = (("Ida", Emasculated(20, 60)), ("Ida", checked()), ("Ida", Bagged()))
READ = (*BAGGED, ("Gro", DRAWN), ("Gro", FOUND))
BACK = (*READ, ("Gro", SENT_BACK))


def after(*way: tuple[str, object]) -> SpikeRecord:
    steps = [
        Step(detail, at(hours), by, session=SESSION)  # type: ignore[arg-type]
        for hours, (by, detail) in enumerate(way)
    ]
    return replay(SPIKE, steps, places=PLACES)


def refused(*way: tuple[str, object]) -> str:
    with pytest.raises(StepError) as caught:
        after(*way)
    return str(caught.value)


def test_a_spike_that_is_sent_back_is_opened_checked_anew_and_bagged_again():
    record = after(*BACK)
    assert record.sent_back
    assert record.verdict is Verdict.PASS  # the record of what was said stays
    assert next_step(record) is TaskKind.OPEN_AND_CHECK
    again = after(*BACK, ("Ida", checked(Verdict.REVIEW, 2)))
    assert not again.sent_back
    assert next_step(again) is TaskKind.GO_BACK
    clean = after(*BACK, ("Ida", checked(number=2)))
    assert (clean.bagged_at, next_step(clean)) == (None, TaskKind.BAG)
    bagged = after(*BACK, ("Ida", checked(number=2)), ("Ida", Bagged()))
    assert next_step(bagged) is TaskKind.POLLINATE
    assert bagged.audit is not None
    assert bagged.audit.decision is AuditDecision.SENT_BACK


def test_a_spike_sent_back_after_pollination_gets_its_bag_again_before_harvest():
    way = (*BAGGED, ("Ida", Pollinated("Olmo")), ("Ida", Rebagged()), ("Gro", DRAWN),
           ("Gro", FOUND), ("Gro", SENT_BACK))  # fmt: skip
    assert next_step(after(*way)) is TaskKind.OPEN_AND_CHECK
    assert next_step(after(*way, ("Ida", checked(number=2)))) is TaskKind.REBAG


def test_what_is_confirmed_goes_on_as_before():
    record = after(*BAGGED, ("Gro", DRAWN), ("Gro", CLEAN), ("Gro", CONFIRMED))
    assert not record.sent_back
    assert next_step(record) is TaskKind.POLLINATE
    audit = record.audit
    assert audit is not None
    assert (audit.first_by, audit.first_verdict, audit.first_computed, audit.read_by) == (
        "Ida", Verdict.PASS, Verdict.PASS, "Gro",
    )  # fmt: skip


def test_a_decision_can_be_taken_anew_while_the_check_stands():
    record = after(*BACK, ("Gro", CONFIRMED))
    assert not record.sent_back


@pytest.mark.parametrize(
    ("way", "why"),
    [
        ((*BAGGED, ("Gro", CLEAN)), "was not drawn for an audit"),
        ((*BAGGED, ("Gro", CONFIRMED)), "was not drawn for an audit"),
        ((*BAGGED, ("Gro", DRAWN), ("Gro", CONFIRMED)), "was not read again yet"),
        ((*BAGGED[:2], ("Gro", DRAWN)), "was not bagged yet"),
        ((*BAGGED, ("Gro", DRAWN), ("Gro", DRAWN)), "was drawn already"),
        ((*BAGGED, ("Gro", DRAWN), ("Ida", CLEAN)), "was checked by Ida"),
        ((*BAGGED, ("Gro", DRAWN), ("IDA", CLEAN)), "was checked by Ida"),
        ((*READ, ("Ida", SENT_BACK)), "was checked by Ida"),
        ((*READ, ("Gro", CLEAN)), "was read again already"),
        ((*READ, ("Mo", CLEAN)), "was read again already"),
        ((*BACK, ("Gro", DRAWN)), "was sent back by an audit"),
        ((*BACK, ("Ida", Bagged("rain"))), "was sent back by an audit"),
        ((*BACK, ("Ida", Pollinated("Olmo"))), "was sent back by an audit"),
        ((*BACK, ("Rut", Overridden(1, Verdict.PASS, "a palea"))), "was sent back by an audit"),
        ((*BAGGED, ("Ida", GivenUp("hail")), ("Gro", DRAWN)), "was given up"),
        ((*READ, ("Ida", GivenUp("hail")), ("Gro", SENT_BACK)), "was given up already"),
        ((*READ, ("Ida", Pollinated("Olmo")), ("Ida", Harvested()), ("Gro", SENT_BACK)),
         "was harvested already"),
        ((*BAGGED[:2], ("Ida", KeptAsControl()), BAGGED[2], ("Ida", Harvested()), ("Gro", DRAWN)),
         "was harvested already"),
    ],
)  # fmt: skip
def test_refusals_say_why(way: tuple[tuple[str, object], ...], why: str):
    assert why in refused(*way)


def test_who_overrode_the_check_is_not_blind_to_it():
    override = ("Rut", Overridden(1, Verdict.PASS, "a palea"))
    way = (BAGGED[0], ("Ida", checked(Verdict.REVIEW)), override, BAGGED[2], ("Gro", DRAWN))
    assert "was overridden by Rut" in refused(*way, ("Rut", CLEAN))
    audit = after(*way, ("Gro", CLEAN)).audit
    assert audit is not None
    assert (audit.first_by, audit.first_verdict, audit.first_computed) == (
        "Rut", Verdict.PASS, Verdict.REVIEW,
    )  # fmt: skip


def test_spikes_of_no_session_or_another_one_are_not_drawn():
    alone = [Step(detail, at(n), by) for n, (by, detail) in enumerate(BAGGED)]  # type: ignore[arg-type]
    with pytest.raises(StepError, match="belongs to no session"):
        replay(SPIKE, [*alone, Step(DRAWN, at(9), "Gro")], places={})
    own = [Step(d, at(n), by, session=SESSION) for n, (by, d) in enumerate(BAGGED)]  # type: ignore[arg-type]
    with pytest.raises(StepError, match="belongs to the session S-1"):
        replay(SPIKE, [*own, Step(DRAWN, at(9), "Gro", session="S-2")], places=PLACES)


def test_a_new_check_asks_for_a_new_reading_and_a_word_on_the_old_one_changes_nothing():
    way = (*READ, ("Ida", checked(number=2)))
    audit = after(*way).audit
    assert audit is not None
    assert audit.read_at is None
    assert after(*way, ("Gro", CLEAN)) == after(*way)  # of check 1, which is not the latest
    later = after(*way, ("Gro", ReadAgain(2, Verdict.PASS, Leftovers.NONE))).audit
    assert later is not None
    assert later.check == 2


def test_photos_of_a_lost_spike_can_still_be_read_and_confirmed():
    way = (*BAGGED, ("Gro", DRAWN), ("Ida", GivenUp("hail")), ("Gro", CLEAN), ("Gro", CONFIRMED))
    audit = after(*way).audit
    assert audit is not None
    assert audit.decision is AuditDecision.CONFIRMED


@pytest.mark.parametrize("detail", [DRAWN, CLEAN, CONFIRMED])
def test_steps_of_an_audit_are_never_taken_back(detail: object):
    step = Step(detail, at(0), "Gro", session=SESSION)  # type: ignore[arg-type]
    entry = Entry(5, kind_of(step.detail), step, None, at(0), "Gro")
    with pytest.raises(StepError, match="belongs to an audit"):
        may_be_corrected([entry], 5)


@pytest.mark.parametrize(
    "make",
    [
        lambda: DrawnForAudit("ab", 5, 6, 0),
        lambda: DrawnForAudit("ab", 5, 5, 5),
        lambda: ReadAgain(1, Verdict.PASS, Leftovers.UNSURE),
        lambda: ReadAgain(1, Verdict.REVIEW, Leftovers.NONE),
        lambda: ReadAgain(1, Verdict.REVIEW, Leftovers.MARKED),
        lambda: ReadAgain(1, Verdict.REVIEW, Leftovers.UNSURE, (MARK,)),
        lambda: AuditDecided(1, AuditDecision.SENT_BACK, " "),
        lambda: AuditDecided(1, AuditDecision.CONFIRMED, "", Leftovers.MARKED, (MARK,)),
        lambda: LeftoverMark("b" * 64),
        lambda: LeftoverMark("b" * 64, 4),
        lambda: LeftoverMark("b" * 64, 4, -1),
    ],
)
def test_words_that_contradict_one_another_are_refused(make):
    with pytest.raises(UsageError):
        make()


marks = st.builds(
    LeftoverMark, st.sampled_from(["a" * 64, "b" * 64]), st.integers(0, 9000), st.integers(0, 9000)
) | st.builds(LeftoverMark, st.just("c" * 64), floret=st.sampled_from(["L1", "R12"]))
readings = st.one_of(
    st.builds(ReadAgain, st.integers(1, 3), st.just(Verdict.PASS), st.just(Leftovers.NONE)),
    st.builds(
        ReadAgain, st.integers(1, 3), st.just(Verdict.REVIEW), st.just(Leftovers.MARKED),
        st.lists(marks, min_size=1, max_size=3).map(tuple),
    ),
)  # fmt: skip
decisions = st.builds(
    AuditDecided, st.integers(1, 3), st.sampled_from(AuditDecision), st.just("a reason")
)


@given(st.one_of(readings, decisions, st.just(DRAWN)))
def test_every_step_comes_back_from_its_json_as_it_was(detail):
    step = Step(detail, at(1), "Gro", session=SESSION, note="wet")
    assert read_step(kind_of(detail), step_data(step)) == step


@given(
    st.lists(
        st.tuples(
            st.sampled_from(["Ida", "Gro", "Mo"]),
            st.one_of(
                readings, decisions, st.just(DRAWN),
                st.builds(checked, st.sampled_from(Verdict), st.integers(1, 3)),
                st.sampled_from([Bagged(), Pollinated("Olmo"), Rebagged(), Harvested()]),
            ),
        ),
        max_size=14,
    )
)  # fmt: skip
def test_whatever_happens_the_laws_of_an_audit_hold(later: list[tuple[str, object]]):
    record = after(*BAGGED)
    for n, (by, detail) in enumerate(later):
        step = Step(detail, at(10 + n), by, session=SESSION)  # type: ignore[arg-type]
        try:
            record = replay(record, [step], places=PLACES)
        except StepError:
            continue
        audit = record.audit
        if audit is None:
            continue
        if audit.read_by:
            assert audit.read_by != audit.first_by  # nobody reads their own
        if audit.decision is not None:
            assert audit.read_at is not None  # decided only once read
        if record.sent_back and record.harvested_at is None:
            assert next_step(record) is TaskKind.OPEN_AND_CHECK
            for gone_on in (Bagged("x"), Pollinated("Olmo")):
                with pytest.raises(StepError):
                    replay(record, [Step(gone_on, at(99), "Ida")], places={})


def test_the_kinds_of_an_audit_are_told_from_all_others():
    assert {StepKind.DRAWN_FOR_AUDIT, StepKind.READ_AGAIN, StepKind.DECIDED} == AUDIT_KINDS


def test_a_blind_reading_is_spelled_as_before_it_was_asked_and_read_as_blind():
    """Histories from before a step could say so verify as they did."""
    plain = Step(CLEAN, at(0), "Gro", session=SESSION)
    assert step_data(plain)["detail"] == {
        "check": 1, "verdict": "pass", "leftovers": "none", "marks": [],
    }  # fmt: skip
    told = Step(replace(CLEAN, blind=False), at(0), "Gro", session=SESSION)
    for step in (plain, told):
        assert read_step(StepKind.READ_AGAIN, step_data(step)) == step


@pytest.mark.parametrize("blind", [True, False])
def test_what_is_kept_of_a_reading_tells_whether_it_was_blind(*, blind: bool):
    audit = after(*BAGGED, ("Gro", DRAWN), ("Gro", replace(CLEAN, blind=blind))).audit
    assert audit is not None
    assert audit.read_blind is blind
    assert ("read_blind" in audit_text(audit)) is not blind
    assert read_audit(audit_text(audit)) == audit


def test_after_another_check_nothing_is_left_of_a_reading_that_was_not_blind():
    told = replace(CLEAN, blind=False)
    audit = after(*BAGGED, ("Gro", DRAWN), ("Gro", told), ("Ida", checked(number=2))).audit
    assert audit is not None
    assert (audit.read_at, audit.read_blind) == (None, True)
