"""The audit of a session in lines of text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.supervision.charts import day_chart, running_charts, technician_chart
from spikecheck.supervision.session_audit import inspections
from spikecheck.vocabulary.words import decision_word

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from zoneinfo import ZoneInfo

    from spikecheck.audit import SpikeName
    from spikecheck.supervision.session_audit import SessionAudit
    from spikecheck.vocabulary.spike_record import SpikeRecord


def audit_lines(
    audit: SessionAudit,
    audited: Sequence[SpikeRecord],
    zone: ZoneInfo,
    earlier: Mapping[SpikeName, Sequence[bool]],
) -> Iterator[str]:
    """Yield what is known of an audit, a line each.

    What was found in spikes that wait for a second reading is not told.

    Parameters
    ----------
    audit
        Of one session.
    audited
        Every spike that was ever drawn, for the control charts.
    zone
        Of local days.
    earlier
        What earlier looks found at spikes that were drawn anew.
    """
    counts, sample = audit.counts, audit.sample
    yield (
        f"Session {audit.session.id}: {counts.spikes} spikes, {counts.passed} pass, "
        f"{counts.review} review, {counts.unchecked} not checked; {counts.overridden} set by a "
        f"person, {counts.bagged} in their bags, {counts.sent_back} sent back"
    )
    if sample is None:
        yield f"No sample is drawn yet; {audit.lot} spikes could be drawn."
        return
    yield sample.sentence
    if sample.unread:
        yield f"To be read again: {', '.join(map(str, sample.unread))}"
    if sample.undecided:
        yield f"To be decided: {', '.join(map(str, sample.undecided))}"
    yield from _agreement_lines(audit)
    for one in audit.decisions:
        decision = "" if one.audit.decision is None else decision_word(one.audit.decision)
        reason = f": {one.audit.reason}" if one.audit.reason else ""
        yield f"{one.spike} {decision} by {one.audit.decided_by}{reason}"
    looked = inspections(audited, zone, earlier)
    for chart in (technician_chart(looked), day_chart(looked), *running_charts(looked)):
        if chart is not None:
            yield f"{chart.title}: {chart.told}"


def _agreement_lines(audit: SessionAudit) -> Iterator[str]:
    for words, agreement in (
        ("Second reader and the verdict that stood", audit.agreement),
        ("Second reader and the verdict as computed", audit.agreement_computed),
    ):
        if agreement is not None:
            yield f"{words}: {agreement.sentence}"
            if agreement.caution:
                yield f"    {agreement.caution}"
    if audit.not_blind:
        yield audit.not_blind_sentence
