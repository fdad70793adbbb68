"""The sample of a session: who is in it, how far it is, and whether the session passes."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.audit import SamplingPlan, SpikeName, Strata, most_bad
from spikecheck.audit.spikes import name_of
from spikecheck.language import _, ngettext, percent
from spikecheck.thresholds.audit import load_audit
from spikecheck.vocabulary.audit_steps import AuditDecision
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from spikecheck.vocabulary.spike_audit import SpikeAudit
    from spikecheck.vocabulary.spike_record import SpikeRecord


class SampleResult(StrEnum):
    """What the sample says so far."""

    OPEN = "open"
    PASSES = "passes"
    FAILS = "fails"


@dataclass(frozen=True, slots=True)
class SessionSample:
    """The latest sample of a session.

    Parameters
    ----------
    plan
        Lot, sample and acceptance number.
    chain_head, drawn_at, drawn_by, parted_by
        Of the draw.
    drawn
        Every spike drawn, by name.
    unread
        Those that nobody read a second time yet.
    undecided
        Those read, but not decided.
    bad
        Those in which something was left or may be left: sent back, or read as review and not
        decided yet.
    """

    plan: SamplingPlan
    chain_head: str
    drawn_at: datetime
    drawn_by: str
    parted_by: str
    drawn: tuple[SpikeName, ...]
    unread: tuple[SpikeName, ...]
    undecided: tuple[SpikeName, ...]
    bad: tuple[SpikeName, ...]

    @property
    def read(self) -> int:
        """How many were read a second time."""
        return len(self.drawn) - len(self.unread)

    @property
    def _sent_back(self) -> set[SpikeName]:
        """Those that are bad for certain."""
        return set(self.bad) - set(self.undecided)

    @property
    def finished(self) -> bool:
        """Whether each is read and decided."""
        return not self.unread and not self.undecided

    @property
    def result(self) -> SampleResult:
        """Passes only when all are decided; fails as soon as too many are found bad."""
        if len(self._sent_back) > self.plan.accept:
            return SampleResult.FAILS
        return SampleResult.PASSES if self.finished else SampleResult.OPEN

    @property
    def sentence(self) -> str:
        """What it comes to and what to do, in words."""
        plan = self.plan
        if self.result is SampleResult.FAILS:
            return _(
                "Sent back: {bad} of {sample} spikes, where {accept} at most were allowed. The "
                "session does not pass: look at every bag of it."
            ).format(bad=len(self._sent_back), sample=plan.sample, accept=plan.accept)
        if self.result is SampleResult.OPEN:
            return _(
                "Read: {read} of {sample} spikes; waiting for a decision: {undecided}."
            ).format(read=self.read, sample=plan.sample, undecided=len(self.undecided))
        most = most_bad(plan.lot, plan.sample, len(self.bad))
        told = ngettext(
            "The session passes; sent back: {bad} of {sample} spikes. With {confidence} "
            "confidence no more than {most} spike of all {lot} would be sent back after such a "
            "second look; what readers overlook is not counted.",
            "The session passes; sent back: {bad} of {sample} spikes. With {confidence} "
            "confidence no more than {most} spikes of all {lot} would be sent back after such a "
            "second look; what readers overlook is not counted.",
            most,
        ).format(
            bad=len(self.bad), sample=plan.sample, most=most, lot=plan.lot,
            confidence=percent(load_audit().confidence),
        )  # fmt: skip
        if self.parted_by == Strata.NONE:
            return told
        # With largest remainders a part may have a smaller share of the sample than the whole.
        return (
            told
            + " "
            + _("The lot was parted before the draw; the figure is reckoned as if it had not been.")
        )


def is_bad(audit: SpikeAudit) -> bool:
    """Return whether something was left, or may be left, as far as is known."""
    if audit.decision is not None:
        return audit.decision is AuditDecision.SENT_BACK
    return audit.read_verdict is Verdict.REVIEW


def latest_sample(records: Iterable[SpikeRecord]) -> SessionSample | None:
    """Return the sample drawn last from a session, or None where none was drawn.

    Parameters
    ----------
    records
        All spikes of the session.
    """
    drawn = [(record, record.audit) for record in records if record.audit is not None]
    if not drawn:
        return None
    last = max((audit for _record, audit in drawn), key=lambda audit: audit.drawn_at)
    own = sorted(
        (name_of(record), audit) for record, audit in drawn
        if (audit.chain_head, audit.drawn_at) == (last.chain_head, last.drawn_at)
    )  # fmt: skip
    return SessionSample(
        plan=SamplingPlan(last.lot, last.sample, last.accept),
        chain_head=last.chain_head,
        drawn_at=last.drawn_at,
        drawn_by=last.drawn_by,
        parted_by=last.parted_by,
        drawn=tuple(name for name, _audit in own),
        unread=tuple(name for name, audit in own if not audit.is_read),
        undecided=tuple(name for name, audit in own if audit.is_undecided),
        bad=tuple(name for name, audit in own if is_bad(audit)),
    )
