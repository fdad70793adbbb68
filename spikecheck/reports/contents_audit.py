"""What a report says of the second look: plan, result, agreement, decisions, charts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.audit import acceptance
from spikecheck.audit.draw import METHOD
from spikecheck.audit.spikes import name_of
from spikecheck.language import _
from spikecheck.reports.blocks import Facts, Figure, Section, Table, Text
from spikecheck.reports.words import NOTHING, moment, verdict_word
from spikecheck.supervision import SessionPlan
from spikecheck.supervision.charts import plan_chart, running_charts, technician_chart
from spikecheck.thresholds.audit import load_audit
from spikecheck.vocabulary.words import decision_word, spike_name

if TYPE_CHECKING:
    from collections.abc import Iterator

    from spikecheck.audit import SamplingPlan
    from spikecheck.charts import Chart
    from spikecheck.reports.blocks import Block
    from spikecheck.reports.facts import SessionFacts
    from spikecheck.supervision import SessionAudit
    from spikecheck.supervision.sample import SessionSample
    from spikecheck.vocabulary.spike_audit import SpikeAudit
    from spikecheck.vocabulary.verdict import Verdict


def audit_section(facts: SessionFacts) -> Section:
    """Return the second look at the session, or a line that there was none."""
    heading = _("Sample and second reading")
    sample = facts.audit.sample
    if sample is None:
        return Section(heading, (Text(_("No sample of this session was drawn.")),))
    plan = recorded_plan(sample.plan)
    blocks: list[Block] = [
        Text(plan.sentence),
        Facts(
            (
                (_("Drawn"), _said(moment(facts, sample.drawn_at), sample.drawn_by)),
                (_("Hash of the history at the draw"), sample.chain_head),
            )
        ),
        Text(_(METHOD)),
        Text(sample.sentence, strong=True),
    ]
    told = (*_agreement(facts.audit), facts.audit.not_blind_sentence)
    blocks += [Text(sentence) for sentence in told if sentence]
    blocks.append(_table(facts, sample))
    blocks += [Figure(chart) for chart in _charts(facts, plan)]
    return Section(heading, tuple(blocks))


def recorded_plan(plan: SamplingPlan) -> SessionPlan:
    """Return a plan with the fewest bad spikes that it notices as surely as is asked for.

    What was asked for when it was made is not recorded; what it is worth follows from its numbers.
    """
    risk = load_audit().miss_risk
    detect = next(
        (bad for bad in range(1, plan.lot + 1) if acceptance(plan, bad) <= risk), plan.lot
    )
    return SessionPlan(plan, detect, acceptance(plan, detect))


def _agreement(audit: SessionAudit) -> Iterator[str]:
    if audit.agreement is None:
        return
    yield audit.agreement.sentence
    yield audit.agreement.ac1_line
    yield audit.agreement.caution
    computed = audit.agreement_computed
    if computed is not None and computed != audit.agreement:
        yield _("With the verdicts that the program computed: {sentence}").format(
            sentence=computed.sentence
        )


def _table(facts: SessionFacts, sample: SessionSample) -> Table:
    drawn = set(sample.drawn)
    rows = []
    for record in facts.spikes:
        audit = record.audit
        if audit is None or name_of(record) not in drawn:
            continue
        decided = "" if audit.decision is None else decision_word(audit.decision)
        rows.append(
            (
                spike_name(record.cross, record.spike),
                _read(audit.first_verdict, audit.first_by),
                _read_again(audit),
                _said(decided, audit.decided_by),
                moment(facts, audit.decided_at),
                audit.reason or NOTHING,
            )
        )
    head = (
        _("Spike"), _("First verdict"), _("Second reading"), _("Decision"), _("When"), _("Reason"),
    )  # fmt: skip
    return Table(_("The sample"), head, tuple(rows), (1.7, 1.9, 1.9, 1.9, 1.6, 3))


def _charts(facts: SessionFacts, plan: SessionPlan) -> Iterator[Chart]:
    yield plan_chart(plan)
    if (shares := technician_chart(facts.looked_at)) is not None:
        yield shares
    people = {one.technician for one in facts.looked_at}
    sums = running_charts([one for one in facts.looked_at_so_far if one.technician in people])
    # One day has no course.
    yield from (chart for chart in sums if len(chart.x_names) > 1)


def _read(verdict: Verdict | None, by: str) -> str:
    return NOTHING if verdict is None else _said(verdict_word(verdict), by)


def _read_again(audit: SpikeAudit) -> str:
    told = _read(audit.read_verdict, audit.read_by)
    return told if audit.read_blind else _("{reading}, not blind").format(reading=told)


def _said(word: str, by: str) -> str:
    if not word:
        return NOTHING
    return _("{word}, by {name}").format(word=word, name=by) if by else word
