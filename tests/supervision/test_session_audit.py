"""The audit of a session from draw to decision, and what it adds up to."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy import event

from spikecheck.audit import Inspection, SamplingPlan, SpikeName, Strata, draw_sample
from spikecheck.errors import StepError, StoreError, UsageError
from spikecheck.language import Language, day, in_language
from spikecheck.supervision import (
    decide,
    draw_session,
    read_again,
    session_audit,
    waiting_to_be_read,
)
from spikecheck.supervision.audit_text import audit_lines
from spikecheck.supervision.charts import day_chart, running_charts, technician_chart
from spikecheck.supervision.sample import SampleResult
from spikecheck.supervision.session_audit import earlier_looks, inspections
from spikecheck.supervision.steps import lot_of
from spikecheck.vocabulary import Step, Verdict
from spikecheck.vocabulary.audit_steps import AuditDecision, LeftoverMark, Leftovers
from spikecheck.vocabulary.steps import Bagged
from tests.audited_session import SESSION, build_session, check_anew

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.store import Store
    from tests.audited_session import Built

UTC_ZONE = ZoneInfo("UTC")


def finish(store: Store, names: tuple[SpikeName, ...]) -> None:
    for name in names:
        read_again(store, name, Leftovers.NONE, by="Gro")
        decide(store, name, AuditDecision.CONFIRMED, by="Gro", leftovers=Leftovers.NONE)


def test_a_session_is_counted_as_it_stands(store: Store, built: Built):
    audit = session_audit(store, SESSION)
    counts = audit.counts
    assert (counts.spikes, counts.bagged) == (30, len(built.bagged))
    assert counts.passed + counts.review + counts.unchecked == counts.spikes
    assert counts.overridden == len(built.overridden) == len(audit.overrides)
    assert {one.spike.cross for one in audit.overrides} <= {cross for cross, _n in built.names}
    assert all(one.override.reason for one in audit.overrides)
    assert sum(person.emasculated for person in audit.people) == 30
    assert (audit.lot, audit.sample, audit.agreement) == (len(built.bagged), None, None)
    assert audit.head == store.head()


def test_a_draw_is_recorded_and_can_be_drawn_again(store: Store):
    records = store.spikes.in_session(SESSION)
    lot = lot_of(records, SESSION)
    head = store.head()
    drawn = draw_session(store, SESSION, SamplingPlan(len(lot), 6, 0), by="Gro")
    assert drawn == draw_sample(lot, 6, session=SESSION, chain_head=head)
    sample = session_audit(store, SESSION).sample
    assert sample is not None
    assert (sample.drawn, sample.unread, sample.chain_head) == (drawn.drawn, drawn.drawn, head)
    assert (sample.plan.lot, sample.result) == (len(lot), SampleResult.OPEN)
    assert not store.verify().faults


def test_a_lot_parted_by_technician_gives_each_its_share(store: Store, built: Built):
    plan = SamplingPlan(len(built.bagged), 6, 0)
    draw_session(store, SESSION, plan, by="Gro", strata=Strata.TECHNICIAN)
    audit = session_audit(store, SESSION)
    assert audit.sample is not None
    drawn = {(name.cross, name.spike) for name in audit.sample.drawn}
    by = [one.emasculated_by for one in audit.spikes if (one.cross, one.spike) in drawn]
    assert {by.count(name) for name in set(by)} == {2}
    assert audit.sample.parted_by == "technician"


def test_no_second_sample_before_the_first_is_finished(store: Store, drawn: tuple[SpikeName, ...]):
    plan = SamplingPlan(session_audit(store, SESSION).lot, 3, 0)
    with pytest.raises(StepError, match="not finished"):
        draw_session(store, SESSION, plan, by="Gro")
    finish(store, drawn)
    second = draw_session(store, SESSION, plan, by="Gro")
    sample = session_audit(store, SESSION).sample
    assert sample is not None
    assert sample.drawn == second.drawn


def test_a_plan_for_another_lot_is_refused(store: Store):
    with pytest.raises(UsageError, match="the plan is for 99 spikes"):
        draw_session(store, SESSION, SamplingPlan(99, 6, 0), by="Gro")


def test_a_sample_all_passed_passes_and_says_how_many_may_be_bad(
    store: Store, drawn: tuple[SpikeName, ...]
):
    finish(store, drawn)
    audit = session_audit(store, SESSION)
    assert audit.sample is not None
    assert audit.sample.result is SampleResult.PASSES
    assert "The session passes; sent back: 0 of 6 spikes. With 95 % confidence" in (
        audit.sample.sentence
    )
    assert audit.sample.sentence.endswith("what readers overlook is not counted.")
    parted = replace(audit.sample, parted_by=Strata.TECHNICIAN.value)
    assert parted.sentence.endswith("the figure is reckoned as if it had not been.")
    assert audit.agreement is not None
    assert (audit.agreement.same, audit.agreement.spikes) == (6, 6)
    assert len(audit.decisions) == 6


def test_one_spike_sent_back_fails_the_session_at_once(
    store: Store, drawn: tuple[SpikeName, ...], photos_of: Callable[[SpikeName], list[str]]
):
    mark = LeftoverMark(photos_of(drawn[0])[1], 100, 50)
    read_again(store, drawn[0], Leftovers.MARKED, marks=[mark], by="Gro", note="a green tip")
    audit = session_audit(store, SESSION)
    assert audit.sample is not None
    assert (audit.sample.bad, audit.sample.undecided) == ((drawn[0],), (drawn[0],))
    assert audit.sample.result is SampleResult.OPEN  # nobody decided yet
    record = decide(
        store, drawn[0], AuditDecision.SENT_BACK, by="Gro", reason="a green tip",
        leftovers=Leftovers.MARKED, marks=[mark],
    )  # fmt: skip
    assert record.sent_back
    audit = session_audit(store, SESSION)
    assert audit.sample is not None
    assert audit.sample.result is SampleResult.FAILS
    assert "look at every bag" in audit.sample.sentence
    assert audit.counts.sent_back == 1
    assert audit.lot == session_audit(store, SESSION).counts.bagged - 1
    assert not store.verify().faults


def test_marks_in_photos_of_another_spike_are_refused(
    store: Store, drawn: tuple[SpikeName, ...], photos_of: Callable[[SpikeName], list[str]]
):
    foreign = LeftoverMark(photos_of(drawn[1])[0], 1, 1)
    with pytest.raises(UsageError, match="not one of its latest check"):
        read_again(store, drawn[0], Leftovers.MARKED, marks=[foreign], by="Gro")


def test_a_reader_is_offered_nothing_of_their_own_and_nothing_twice(
    store: Store, drawn: tuple[SpikeName, ...]
):
    records = store.spikes.in_session(SESSION)
    known = {(one.cross, one.spike): one for one in records}
    for reader in ("Ida", " ida ", "Rut"):
        for name in waiting_to_be_read(records, reader):
            record = known[name.cross, name.spike]
            assert reader.strip().title() not in {record.checked_by, record.overridden_by}
    waiting = waiting_to_be_read(records, "Gro")
    assert sorted(waiting) == list(drawn)
    read_again(store, waiting[0], Leftovers.UNSURE, by="Gro")
    assert waiting_to_be_read(store.spikes.in_session(SESSION), "Gro") == waiting[1:]


def test_the_verdict_follows_from_what_the_reader_saw(store: Store, drawn: tuple[SpikeName, ...]):
    record = read_again(store, drawn[0], Leftovers.UNSURE, by="Gro")
    assert record.audit is not None
    assert record.audit.read_verdict is Verdict.REVIEW  # unsure is never pass


def test_the_audit_of_one_session_reads_no_other(store: Store, drawn: tuple[SpikeName, ...]):
    build_session(store, count=10, session="S-0505")
    seen: list[tuple[str, object]] = []

    def note(_connection, _cursor, statement, parameters, _context, _many) -> None:
        seen.append((statement, parameters))

    engine = store._database.engine
    event.listen(engine, "before_cursor_execute", note)
    audit = session_audit(store, SESSION)
    event.remove(engine, "before_cursor_execute", note)
    assert len(audit.spikes) == 30
    assert audit.sample is not None
    assert audit.sample.drawn == drawn
    of_spikes = [(text, given) for text, given in seen if "FROM spike_states" in text]
    assert len(of_spikes) == 1
    assert "spike_states.session_id = " in of_spikes[0][0]
    assert SESSION in of_spikes[0][1]


def test_charts_come_from_what_second_looks_found(store: Store, drawn: tuple[SpikeName, ...]):
    assert inspections(store.spikes.audited(), UTC_ZONE, {}) == ()
    read_again(store, drawn[0], Leftovers.UNSURE, by="Gro")
    for name in drawn[1:]:
        read_again(store, name, Leftovers.NONE, by="Gro")
    looked = inspections(store.spikes.audited(), UTC_ZONE, {})
    assert [one.bad for one in looked].count(True) == 1
    chart = technician_chart(looked)
    assert chart is not None
    assert chart.x_names == tuple(sorted({one.technician for one in looked}))
    assert running_charts(looked) == ()
    assert day_chart(looked) is None  # one day is no chart
    build_session(store, count=9, session="S-0505", days_ago=4)
    lot = session_audit(store, "S-0505").lot
    for name in draw_session(store, "S-0505", SamplingPlan(lot, lot, 0), by="Gro").drawn:
        read_again(store, name, Leftovers.NONE, by="Gro")
    looked = inspections(store.spikes.audited(), UTC_ZONE, {})
    by_day = day_chart(looked)
    assert by_day is not None
    assert list(by_day.x_names) == sorted({one.day.isoformat() for one in looked})
    with in_language(Language.SPANISH):
        told = day_chart(looked)
        assert told is not None
        assert told.x_names == tuple(map(day, sorted({one.day for one in looked})))
    sums = running_charts(looked)
    assert [len(one.series[0].points) for one in sums] == [2] * len(sums)
    assert sums


def test_a_bad_spike_that_is_mended_and_drawn_anew_was_bad_all_the_same(
    store: Store, drawn: tuple[SpikeName, ...]
):
    bad, *others = drawn
    read_again(store, bad, Leftovers.UNSURE, by="Gro")
    decide(store, bad, AuditDecision.SENT_BACK, by="Gro", reason="a green tip")
    finish(store, tuple(others))
    assert earlier_looks(store) == {}
    check_anew(store, bad.cross, bad.spike, by="Ida")
    step = Step(Bagged(), datetime.now(UTC_ZONE), "Ida")
    store.spikes.add(bad.cross, bad.spike, step)
    lot = session_audit(store, SESSION).lot
    draw_session(store, SESSION, SamplingPlan(lot, lot, 0), by="Gro")

    def found() -> list[bool]:
        looked = inspections(store.spikes.audited(), UTC_ZONE, earlier_looks(store))
        return [one.bad for one in looked if one.spike == bad]

    assert found() == [True]
    read_again(store, bad, Leftovers.NONE, by="Gro")
    assert found() == [True, False]
    earlier = earlier_looks(store)
    assert earlier == {bad: (True,)} | dict.fromkeys(others, (False,))


def test_a_day_that_stands_out_is_told_as_the_reader_writes_days():
    looked = [
        Inspection(SpikeName("C1", 20 * one.day + k), "Ida", one, one.day == 13 and k < 9)
        for one in (date(2026, 5, of_month) for of_month in (11, 12, 13))
        for k in range(20)
    ]
    plain = day_chart(looked)
    assert plain is not None
    assert plain.told.startswith("2026-05-13: 9 of 20 ")
    with in_language(Language.SPANISH):
        told = [chart.told for chart in (day_chart(looked), *running_charts(looked)) if chart]
        assert len(told) == 2
        assert all(day(date(2026, 5, 13)) in one for one in told)
        assert not any("2026-05" in one for one in told)


def test_an_alarm_of_a_running_sum_is_told_also_after_good_days():
    """8 of 8 bad on one day, where 8 of 408 are usual: eight times log 2.9 is above the limit,
    log 1000. The 120 good ones after it bring the sum down again, and the alarm stays told."""
    days = [("Ida", 1, 8, 8), ("Ida", 2, 30, 0), ("Ida", 3, 90, 0), ("Bo", 1, 280, 0)]
    looked = [
        Inspection(SpikeName("C1", 1000 * of_month + k), who, date(2026, 5, of_month), k < bad)
        for who, of_month, count, bad in days
        for k in range(count)
    ]
    (chart,) = running_charts(looked)
    assert chart.series[0].flagged == (0, 1)
    assert chart.told == (
        "Up to 2026-05-02: Since 2026-05-01, 8 of 38 spikes were bad; 0.7 were to be expected. "
        "Something has changed: look for the cause."
    )
    (chart,) = running_charts([one for one in looked if one.day < date(2026, 5, 3)])
    assert chart.told.startswith("Since 2026-05-01, 8 of 38 spikes were bad; ")


def test_the_audit_in_lines_tells_nothing_of_what_is_unread(
    store: Store, drawn: tuple[SpikeName, ...]
):
    lines = list(audit_lines(session_audit(store, SESSION), (), UTC_ZONE, {}))
    assert any(str(drawn[0]) in line for line in lines)
    assert not any("Rut" in line or "palea" in line for line in lines)
    finish(store, drawn)
    audit = session_audit(store, SESSION)
    lines = list(audit_lines(audit, store.spikes.audited(), UTC_ZONE, {}))
    assert any(line.startswith(f"{drawn[0]} confirmed by Gro") for line in lines)
    assert any(line.startswith("Bad spikes by technician: ") for line in lines)


def test_there_is_no_audit_of_a_session_that_is_not_there(store: Store):
    with pytest.raises(StoreError, match="no session S-9"):
        session_audit(store, "S-9")
