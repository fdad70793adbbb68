"""Draws the sample of a session, and records second readings and decisions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.audit import SamplingPlan, SpikeName, Strata, bagged_lot, draw_sample
from spikecheck.audit.draw import ticket
from spikecheck.audit.spikes import name_of
from spikecheck.errors import StepError, UsageError
from spikecheck.language import _, day_and_time
from spikecheck.supervision.marks import latest_photos
from spikecheck.supervision.meanwhile import refuse_decided, refuse_other_check, refuse_stale
from spikecheck.supervision.sample import latest_sample
from spikecheck.vocabulary.audit_steps import (
    AuditDecided,
    DrawnForAudit,
    Leftovers,
    ReadAgain,
)
from spikecheck.vocabulary.entry import Step
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from spikecheck.audit import Draw
    from spikecheck.store import Store
    from spikecheck.store.as_it_stands import AsItStands
    from spikecheck.vocabulary.audit_steps import AuditDecision, LeftoverMark
    from spikecheck.vocabulary.spike_record import SpikeRecord


def lot_of(records: Iterable[SpikeRecord], session: str) -> tuple[SpikeRecord, ...]:
    """Return the spikes that can be drawn: in their bags, and not sent back."""
    return tuple(one for one in bagged_lot(records, session) if not one.sent_back)


def draw_session(
    store: Store,
    session: str,
    plan: SamplingPlan,
    *,
    by: str,
    strata: Strata = Strata.NONE,
) -> Draw:
    """Draw the sample of a session and record each spike drawn, all of it or nothing.

    Parameters
    ----------
    store
        The records.
    session
        Id of the session.
    plan
        How many of how many, made for the lot as it is now.
    by
        Who draws.
    strata
        By what to part the lot first.

    Raises
    ------
    StepError
        If an earlier sample of the session is not finished.
    UsageError
        If the lot is another by now.
    """
    known = store.sessions.one(session)
    drawn: list[Draw] = []

    def choose(standing: AsItStands) -> list[tuple[str, int, Step]]:
        records = standing.in_session(known.id)
        lot = lot_of(records, known.id)
        _refuse_second_draw(records, known.id)
        if plan.lot != len(lot):
            raise UsageError(
                _("the plan is for {planned} spikes, {now} hang in their bags by now").format(
                    planned=plan.lot, now=len(lot)
                ),
                where=known.id, cure=_("Make the plan again"),
            )  # fmt: skip
        head = standing.head
        drawn.append(
            draw_sample(lot, plan.sample, session=known.id, chain_head=head, strata=strata)
        )
        detail = DrawnForAudit(head, plan.lot, plan.sample, plan.accept, strata.value)
        step = Step(detail, standing.moment, by, session=known.id)
        return [(name.cross, name.spike, step) for name in drawn[0].drawn]

    store.spikes.add_as_it_stands(choose)
    return drawn[0]


def waiting_to_be_read(records: Sequence[SpikeRecord], reader: str) -> tuple[SpikeName, ...]:
    """Return what ``reader`` may still read of the latest sample: names, nothing of the first.

    Whoever checked a spike or set its verdict is not blind to it. They come in the order of their
    tickets, which has nothing to do with what was found.

    Parameters
    ----------
    records
        All spikes of the session.
    reader
        Who reads.
    """
    sample = latest_sample(records)
    if sample is None:
        return ()
    known = {name_of(record): record for record in records}
    open_to = [name for name in sample.unread if not is_own(known[name], reader)]
    session = known[sample.drawn[0]].session
    return tuple(sorted(open_to, key=lambda name: ticket(session, sample.chain_head, name)))


def is_own(record: SpikeRecord, name: str) -> bool:
    """Return whether ``name`` checked a spike or set its verdict; nobody without a name did."""
    own = name.strip().casefold()
    return own != "" and own in {record.checked_by.casefold(), record.overridden_by.casefold()}


def read_again(
    store: Store,
    spike: SpikeName,
    leftovers: Leftovers,
    *,
    marks: Sequence[LeftoverMark] = (),
    by: str,
    note: str = "",
    blind: bool = True,
    seen: SpikeRecord | None = None,
) -> SpikeRecord:
    """Record a second reading; the verdict follows: pass only where nothing is left.

    Parameters
    ----------
    store
        The records.
    spike
        Which one.
    leftovers, marks
        What the reader saw, and where.
    by
        The reader.
    note
        Free text, may be empty.
    blind
        Whether the reader did not know what the first one said.
    seen
        The spike as the reader saw it, with the check whose photos were read; None takes it as it
        is now.

    Raises
    ------
    StepError
        If it was not drawn, was read already, or the reader checked it or set its verdict; or it
        was checked anew since it was seen.
    UsageError
        If a mark lies in no photo of the check.
    """
    read = seen or store.spikes.one(spike.cross, spike.spike)
    _refuse_foreign(store, read, marks)
    verdict = Verdict.PASS if leftovers is Leftovers.NONE else Verdict.REVIEW
    detail = ReadAgain(read.check, verdict, leftovers, tuple(marks), blind)
    return _add(store, read, detail, by=by, note=note, refuse=refuse_other_check)


def decide(
    store: Store,
    spike: SpikeName,
    decision: AuditDecision,
    *,
    by: str,
    reason: str = "",
    leftovers: Leftovers = Leftovers.UNSURE,
    marks: Sequence[LeftoverMark] = (),
    note: str = "",
    seen: SpikeRecord | None = None,
    anew: bool = False,
) -> SpikeRecord:
    """Record a supervisor's decision on a spike that was read twice.

    Parameters
    ----------
    store
        The records.
    spike
        Which one.
    decision
        Whether the check stands.
    by
        Who decides.
    reason
        Why; needed when the spike is sent back.
    leftovers, marks
        What is really in the photos, as far as the supervisor says so.
    note
        Free text, may be empty.
    seen
        The spike as whoever decides saw it, with the decision that may stand already; None where
        nobody looked at that.
    anew
        Without ``seen``: whether to decide although a decision stands.

    Raises
    ------
    StepError
        If it was not read a second time, was checked anew since, or by whom decides; if its audit
        went on since it was seen, or a decision stands that nobody saw.
    UsageError
        If a reason lacks, or a mark lies in no photo of the check.
    """
    record = store.spikes.one(spike.cross, spike.spike)
    if seen is None and not anew:
        refuse_decided(record)
    _refuse_foreign(store, record, marks)
    audit = record.audit
    if audit is not None and audit.is_read and audit.check != record.check:
        raise StepError(
            _("was checked anew since it was read"),
            where=str(spike), cure=_("Leave the earlier decision as it is"),
        )  # fmt: skip
    detail = AuditDecided(record.check, decision, reason, leftovers, tuple(marks))
    return _add(store, seen or record, detail, by=by, note=note, refuse=refuse_stale)


def _add(
    store: Store,
    seen: SpikeRecord,
    detail: ReadAgain | AuditDecided,
    *,
    by: str,
    note: str,
    refuse: Callable[[SpikeRecord, SpikeRecord], None],
) -> SpikeRecord:
    """Record a step of an audit, unless ``refuse`` minds how the spike stands beside ``seen``."""

    def choose(standing: AsItStands) -> list[tuple[str, int, Step]]:
        refuse(standing.spike(seen.cross, seen.spike), seen)
        step = Step(detail, standing.moment, by, session=seen.session, note=note)
        return [(seen.cross, seen.spike, step)]

    return store.spikes.add_as_it_stands(choose)[0]


def _refuse_second_draw(records: Sequence[SpikeRecord], session: str) -> None:
    earlier = latest_sample(records)
    if earlier is not None and not earlier.finished:
        raise StepError(
            _(
                "has a sample, drawn by {name} on {moment}, that is not finished: {unread} unread, "
                "{undecided} undecided"
            ).format(
                name=earlier.drawn_by, moment=day_and_time(earlier.drawn_at.astimezone()),
                unread=len(earlier.unread), undecided=len(earlier.undecided),
            ),
            where=session, cure=_("Read and decide those first"),
        )  # fmt: skip


def _refuse_foreign(store: Store, record: SpikeRecord, marks: Sequence[LeftoverMark]) -> None:
    """Refuse marks in photos that are not those of the latest check."""
    if not marks:
        return
    known = {photo.sha256 for photo in latest_photos(store, record)}
    for mark in marks:
        if mark.photo not in known:
            raise UsageError(
                _("a leftover is marked in a photo that is not one of its latest check"),
                where=f"{record.cross}/{record.spike}", cure=_("Open the spike again and mark it"),
            )  # fmt: skip
