"""Two people, or a page and a command, at the same spike: the second is told what stands already.

Asked while the records are held for writing, so that two at the same instant come one by one.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.audit.spikes import name_of
from spikecheck.errors import StepError
from spikecheck.language import _, day_and_time
from spikecheck.vocabulary.audit_steps import AuditDecision

if TYPE_CHECKING:
    from datetime import datetime

    from spikecheck.vocabulary.spike_record import SpikeRecord


def refuse_stale(record: SpikeRecord, seen: SpikeRecord) -> None:
    """Refuse to go on with a spike whose audit or check is another than was seen.

    Parameters
    ----------
    record
        The spike as it stands.
    seen
        As whoever goes on saw it.

    Raises
    ------
    StepError
        If so, with what happened meanwhile.
    """
    if (record.audit, record.check) != (seen.audit, seen.check):
        raise StepError(
            _("{done}, since this was opened").format(done=_last_done(record, seen)),
            where=str(name_of(record)), cure=_("Look at it again, then decide"),
        )  # fmt: skip


def refuse_other_check(record: SpikeRecord, seen: SpikeRecord) -> None:
    """Refuse to read photos that are no longer those of the spike's latest check.

    Raises
    ------
    StepError
        If so.
    """
    if record.check != seen.check:
        raise StepError(
            _checked(record), where=str(name_of(record)),
            cure=_("Open it again and read the new photos"),
        )  # fmt: skip


def refuse_decided(record: SpikeRecord) -> None:
    """Refuse a decision that would take the place of another, unknown to who decides.

    Raises
    ------
    StepError
        If the check that stands is decided about, with the decision.
    """
    audit = record.audit
    if audit is not None and audit.decision is not None and audit.check == record.check:
        raise StepError(
            _decided(record), where=str(name_of(record)),
            cure=_("Leave it; or decide anew (--anew), on purpose, when it is wrong"),
        )  # fmt: skip


def _last_done(record: SpikeRecord, seen: SpikeRecord) -> str:
    """Return the last thing that was done to ``record`` and not to ``seen``."""
    audit = record.audit
    if record.check != seen.check or audit is None:
        return _checked(record)
    if audit.decided_at is not None:
        return _decided(record)
    if audit.read_at is not None:
        return _("was read again by {name} on {moment}").format(
            name=audit.read_by, moment=_shown(audit.read_at)
        )
    return _("was drawn by {name} on {moment}").format(
        name=audit.drawn_by, moment=_shown(audit.drawn_at)
    )


def _checked(record: SpikeRecord) -> str:
    return _("was checked anew by {name}").format(name=record.checked_by)


def _decided(record: SpikeRecord) -> str:
    audit = record.audit
    if audit is None or audit.decided_at is None:
        return ""
    told = (
        _("was confirmed by {name} on {moment}")
        if audit.decision is AuditDecision.CONFIRMED
        else _("was sent back by {name} on {moment}")
    )
    return told.format(name=audit.decided_by, moment=_shown(audit.decided_at))


def _shown(moment: datetime) -> str:
    return day_and_time(moment.astimezone())
