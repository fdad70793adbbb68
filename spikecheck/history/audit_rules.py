"""What may follow what in the audit of a spike.

A word on a check that is no longer the latest leaves the spike as it is, as an override of an older
check does: the photos it speaks of are not those that the spike stands by.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from spikecheck.history.refusals import needs, not_yet, refused
from spikecheck.language import N_, _
from spikecheck.vocabulary.audit_steps import AuditDecision
from spikecheck.vocabulary.spike_audit import SpikeAudit

if TYPE_CHECKING:
    from spikecheck.vocabulary.audit_steps import AuditDecided, DrawnForAudit, ReadAgain
    from spikecheck.vocabulary.entry import Step
    from spikecheck.vocabulary.spike_record import SpikeRecord

_FINISH = N_("Read it again and decide first")


def drawn_for_audit(record: SpikeRecord, step: Step, detail: DrawnForAudit) -> SpikeRecord:
    """Begin the audit of a spike that hangs in its bag."""
    if not record.session:
        raise refused(
            record,
            step,
            _("belongs to no session"),
            _("Audit spikes that were emasculated in a session"),
        )
    if record.session != step.session:
        raise refused(
            record,
            step,
            _("belongs to the session {session}").format(session=record.session),
            _("Draw from one session only"),
        )
    needs(record, step, record.bagged_at, _("was not bagged yet"), _("Record that first"))
    not_yet(
        record, step, record.harvested_at, _("was harvested already"), _("Draw from the others")
    )
    if record.sent_back:
        raise refused(record, step, _("was sent back by an audit"), _("Check it anew first"))
    if record.audit is not None and record.audit.decision is None:
        not_yet(record, step, record.audit.drawn_at, _("was drawn already"), _(_FINISH))
    return replace(
        record,
        audit=SpikeAudit(
            drawn_at=step.at, drawn_by=step.by, chain_head=detail.chain_head, lot=detail.lot,
            sample=detail.sample, accept=detail.accept, parted_by=detail.parted_by,
        ),
    )  # fmt: skip


def read_again(record: SpikeRecord, step: Step, detail: ReadAgain) -> SpikeRecord:
    """Take a second reader's word, unless that reader knows the first one."""
    audit = record.audit
    if audit is None:
        raise refused(record, step, _("was not drawn for an audit"), _("Draw the sample first"))
    if detail.check != record.check:
        return record
    read = _("was read again already, by {name}").format(name=audit.read_by)
    not_yet(record, step, audit.read_at, read, _("Read the others"))
    _refuse_own(record, step, record.checked_by, _("was checked"))
    _refuse_own(record, step, record.overridden_by, _("was overridden"))
    return replace(
        record,
        audit=replace(
            audit, check=record.check, first_by=record.overridden_by or record.checked_by,
            first_verdict=record.verdict, first_computed=record.computed_verdict,
            read_at=step.at, read_by=step.by, read_verdict=detail.verdict,
            read_leftovers=detail.leftovers, read_blind=detail.blind,
        ),
    )  # fmt: skip


def decided(record: SpikeRecord, step: Step, detail: AuditDecided) -> SpikeRecord:
    """Take a supervisor's decision; a later one on the same check takes its place."""
    audit = record.audit
    if audit is None:
        raise refused(record, step, _("was not drawn for an audit"), _("Draw the sample first"))
    needs(
        record,
        step,
        audit.read_at,
        _("was not read again yet"),
        _("Have it read a second time first"),
    )
    if not detail.check == audit.check == record.check:
        return record
    _refuse_own(record, step, record.checked_by, _("was checked"))
    if detail.decision is AuditDecision.CONFIRMED:
        _refuse_own(record, step, record.overridden_by, _("was overridden"))
    if detail.decision is AuditDecision.SENT_BACK:
        not_yet(
            record,
            step,
            record.given_up_at,
            _("was given up already"),
            _("Confirm it, with a reason"),
        )
        not_yet(
            record,
            step,
            record.harvested_at,
            _("was harvested already"),
            _("Give it up, or have its seed tested"),
        )
    return replace(
        record,
        audit=replace(
            audit, decided_at=step.at, decided_by=step.by, decision=detail.decision,
            reason=detail.reason,
        ),
    )  # fmt: skip


def checked_anew(audit: SpikeAudit | None) -> SpikeAudit | None:
    """Return an audit after another check: what nobody decided yet is to be read once more."""
    if audit is None or audit.decision is not None:
        return audit
    return replace(
        audit, check=None, first_by="", first_verdict=None, first_computed=None,
        read_at=None, read_by="", read_verdict=None, read_leftovers=None, read_blind=True,
    )  # fmt: skip


def _refuse_own(record: SpikeRecord, step: Step, name: str, done: str) -> None:
    if name and name.casefold() == step.by.casefold():
        raise refused(
            record,
            step,
            _("{done} by {name}").format(done=done, name=name),
            _("Have another person do it: nobody audits themselves"),
        )
