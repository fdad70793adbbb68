"""What a report says of the sample of a session."""

from __future__ import annotations

from spikecheck.audit import SamplingPlan, acceptance
from spikecheck.reports.blocks import Figure, Table, Text
from spikecheck.reports.contents_audit import recorded_plan
from spikecheck.supervision import decide, draw_session, read_again, session_audit, session_plan
from spikecheck.thresholds.audit import load_audit
from spikecheck.vocabulary.audit_steps import AuditDecision, Leftovers
from tests.audited_session import build_session
from tests.reports.conftest import SESSION


def test_the_sample_as_the_records_know_it(store, report_of):
    built = build_session(store, count=40, faces=1)
    plan = session_plan(len(built.bagged)).plan
    drawn = draw_session(store, SESSION, plan, by="Rut Lead").drawn
    for name in drawn[:-1]:
        read_again(store, name, Leftovers.NONE, by="Second")
    read_again(store, drawn[-1], Leftovers.UNSURE, by="Second")
    decide(
        store, drawn[-1], AuditDecision.SENT_BACK, by="Rut Lead", reason="A green tip in L4.",
    )  # fmt: skip
    report = report_of(store)
    heading = "Sample and second reading"
    blocks = next(one for one in report.sections if one.heading == heading).blocks
    said = [one.text for one in blocks if isinstance(one, Text)]
    known = session_audit(store, SESSION)
    assert known.sample.sentence in said
    assert known.agreement.sentence in said
    (table,) = [one for one in blocks if isinstance(one, Table)]
    assert [row[0] for row in table.rows] == [str(name) for name in drawn]
    assert {row[2] for row in table.rows[:-1]} == {"pass, by Second"}
    assert table.rows[-1][2:4] == ("review, by Second", "sent back, by Rut Lead")
    assert table.rows[-1][5] == "A green tip in L4."
    listed = next(one for one in report.sections if one.heading == "Spike by spike").blocks[0]
    (row,) = [row for row in listed.rows if row[0] == str(drawn[-1])]
    assert row[3].endswith("then sent back")
    pictures = next(one for one in report.sections if one.heading.startswith("Pictures")).blocks[0]
    captions = [one.caption for one in pictures.shots if "sent back" in one.caption]
    assert len(captions) == 1
    assert str(drawn[-1]) in captions[0]
    titles = [one.chart.title for one in blocks if isinstance(one, Figure)]
    assert titles[:2] == ["How likely the session passes", "Bad spikes by technician"]


def test_what_a_recorded_plan_notices():
    """The fewest bad spikes that pass as rarely as asked for, and not one fewer."""
    risk = load_audit().miss_risk
    found = recorded_plan(SamplingPlan(185, 38, 0))
    assert found.missed == acceptance(found.plan, found.detect) <= risk
    assert acceptance(found.plan, found.detect - 1) > risk


def test_without_a_sample_it_says_so(session, report_of):
    report = report_of(session)
    part = next(one for one in report.sections if one.heading == "Sample and second reading")
    assert part.blocks == (Text("No sample of this session was drawn."),)
