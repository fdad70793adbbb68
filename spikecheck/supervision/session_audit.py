"""All that the audit of one crossing session knows, from the records of that session alone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.audit import (
    Inspection,
    SpikeName,
    SpikeReading,
    agreement_table,
    pair_readings,
    reader_agreement,
)
from spikecheck.audit.spikes import name_of
from spikecheck.language import ngettext
from spikecheck.supervision.sample import is_bad, latest_sample
from spikecheck.supervision.session_counts import person_counts, spike_counts
from spikecheck.supervision.steps import lot_of
from spikecheck.vocabulary.audit_steps import AuditDecided, AuditDecision, DrawnForAudit

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from zoneinfo import ZoneInfo

    from spikecheck.audit import Agreement, ReadingPair
    from spikecheck.store import Override, Store
    from spikecheck.supervision.sample import SessionSample
    from spikecheck.supervision.session_counts import PersonCounts, SpikeCounts
    from spikecheck.vocabulary import CrossingSession
    from spikecheck.vocabulary.spike_audit import SpikeAudit
    from spikecheck.vocabulary.spike_record import SpikeRecord


@dataclass(frozen=True, slots=True)
class SpikeOverride:
    """One person's word against the verdict of a spike's latest check."""

    spike: SpikeName
    check: int
    override: Override


@dataclass(frozen=True, slots=True)
class DecidedSpike:
    """A spike of the latest sample that is decided."""

    spike: SpikeName
    audit: SpikeAudit


@dataclass(frozen=True, slots=True)
class SessionAudit:
    """The audit of one session.

    Parameters
    ----------
    session
        The session.
    head
        Hex hash of the last entry of the history when this was read.
    spikes
        The spikes emasculated in it, by cross and number.
    counts
        Counted as they stand.
    people
        Who did what, by name.
    overrides
        Words against verdicts of the latest checks, by spike, oldest first.
    lot
        Spikes that could be drawn now.
    sample
        The latest sample, or None.
    pairs
        Both readings of each spike of it that was read blind, the verdict that stood first.
    agreement
        How far both readers agree, or None before a spike was read twice.
    agreement_computed
        The same with the verdict that the check computed, before anybody overrode it.
    not_blind
        Second readings of the sample by people who had seen the first one.
    decisions
        Decided spikes of the sample, by name.
    """

    session: CrossingSession
    head: str
    spikes: tuple[SpikeRecord, ...]
    counts: SpikeCounts
    people: tuple[PersonCounts, ...]
    overrides: tuple[SpikeOverride, ...]
    lot: int
    sample: SessionSample | None
    pairs: tuple[ReadingPair, ...]
    agreement: Agreement | None
    agreement_computed: Agreement | None
    not_blind: int
    decisions: tuple[DecidedSpike, ...]

    @property
    def not_blind_sentence(self) -> str:
        """How many second readings were not blind, in words; empty where all were."""
        if not self.not_blind:
            return ""
        return ngettext(
            "{n} second reading was not blind: its reader had seen the first verdict. It is left "
            "out where readers are compared.",
            "{n} second readings were not blind: their readers had seen the first verdict. They "
            "are left out where readers are compared.",
            self.not_blind,
        ).format(n=self.not_blind)


def session_audit(store: Store, session_id: str) -> SessionAudit:
    """Return the audit of a session; nothing of other sessions is read.

    Raises
    ------
    StoreError
        If there is no such session, or the records cannot be read.
    """
    head = store.head()
    session = store.sessions.one(session_id)
    records = store.spikes.in_session(session.id)
    sample = latest_sample(records)
    drawn = set(sample.drawn) if sample is not None else set()
    audited = [record for record in records if name_of(record) in drawn]
    pairs = reading_pairs(audited, computed=False)
    return SessionAudit(
        session=session,
        head=head,
        spikes=records,
        counts=spike_counts(records),
        people=person_counts(records),
        overrides=_overrides(store, records),
        lot=len(lot_of(records, session.id)),
        sample=sample,
        pairs=pairs,
        agreement=_agreement(pairs),
        agreement_computed=_agreement(reading_pairs(audited, computed=True)),
        not_blind=sum(one.audit is not None and not one.audit.read_blind for one in audited),
        decisions=tuple(
            DecidedSpike(name_of(record), record.audit)
            for record in audited
            if record.audit is not None and record.audit.decision is not None
        ),
    )


def reading_pairs(
    records: Iterable[SpikeRecord], *, computed: bool
) -> tuple[ReadingPair, ...]:  # fmt: skip
    """Return both readings of each spike that was checked and read a second time, blind.

    Parameters
    ----------
    records
        Audited spikes.
    computed
        Whether the first reading is the verdict that was computed, rather than the one that stood.
    """
    firsts, seconds = [], []
    for record in records:
        audit = record.audit
        if audit is None or audit.read_at is None or audit.read_verdict is None:
            continue
        if not audit.read_blind:
            continue  # who knows the first answer agrees for that reason
        first = audit.first_computed if computed else audit.first_verdict
        if first is None:
            continue  # looked at itself, without a check to agree with
        name = name_of(record)
        by = "the check itself" if computed else audit.first_by
        firsts.append(SpikeReading(name, by, first, audit.drawn_at))
        seconds.append(SpikeReading(name, audit.read_by, audit.read_verdict, audit.read_at))
    return pair_readings(firsts, seconds).pairs


def inspections(
    records: Iterable[SpikeRecord],
    zone: ZoneInfo,
    earlier: Mapping[SpikeName, Sequence[bool]],
) -> tuple[Inspection, ...]:
    """Return what second looks found, look by look, for control charts.

    Parameters
    ----------
    records
        Audited spikes, of one session or of many.
    zone
        Of local days.
    earlier
        What :func:`earlier_looks` gives: a spike sent back and drawn anew was bad all the same.
    """
    found = []
    for record in records:
        audit, at = record.audit, record.emasculated_at
        if audit is None or at is None:
            continue
        name, day = name_of(record), at.astimezone(zone).date()
        looks = [*earlier.get(name, ()), *([is_bad(audit)] if audit.is_read else [])]
        found += [Inspection(name, record.emasculated_by, day, bad) for bad in looks]
    return tuple(found)


def earlier_looks(store: Store) -> dict[SpikeName, tuple[bool, ...]]:
    """Return whether each look before the latest draw found a spike bad, of all drawn anew."""
    looks: dict[SpikeName, list[bool]] = {}
    last: dict[SpikeName, bool] = {}
    for cross, spike, entry in store.spikes.redrawn_entries():
        name, detail = SpikeName(cross, spike), entry.step.detail if entry.step else None
        if isinstance(detail, AuditDecided):
            last[name] = detail.decision is AuditDecision.SENT_BACK
        elif isinstance(detail, DrawnForAudit) and name in last:  # decided, or it could not be
            looks.setdefault(name, []).append(last.pop(name))
    return {name: tuple(several) for name, several in looks.items()}


def _agreement(pairs: Sequence[ReadingPair]) -> Agreement | None:
    return reader_agreement(agreement_table(pairs)) if pairs else None


def _overrides(store: Store, records: Sequence[SpikeRecord]) -> tuple[SpikeOverride, ...]:
    of_check = {
        record.check: name_of(record)
        for record in records
        if record.check is not None and record.overridden
    }
    told = store.overrides_of(list(of_check)) if of_check else {}
    return tuple(
        SpikeOverride(name, check, override)
        for check, name in of_check.items()
        for override in told.get(check, ())
    )
