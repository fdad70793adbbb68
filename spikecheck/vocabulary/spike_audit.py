"""How far the audit of one spike is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime

    from spikecheck.vocabulary.audit_steps import AuditDecision, Leftovers
    from spikecheck.vocabulary.verdict import Verdict


@dataclass(frozen=True, slots=True)
class SpikeAudit:
    """The latest audit of a spike; None and empty where it is not that far.

    Parameters
    ----------
    drawn_at, drawn_by, chain_head, lot, sample, accept, parted_by
        When and by whom it was drawn; the rest as in
        :class:`~spikecheck.vocabulary.audit_steps.DrawnForAudit`.
    check
        Number of the check that was read, None for a spike without one.
    first_by, first_verdict, first_computed
        Who gave the verdict that stood when it was read, that verdict, and the computed one.
    read_at, read_by, read_verdict, read_leftovers, read_blind
        The second reading, and whether its reader did not know the first one.
    decided_at, decided_by, decision, reason
        The supervisor's decision.
    """

    drawn_at: datetime
    drawn_by: str
    chain_head: str
    lot: int
    sample: int
    accept: int
    parted_by: str = "none"
    check: int | None = None
    first_by: str = ""
    first_verdict: Verdict | None = None
    first_computed: Verdict | None = None
    read_at: datetime | None = None
    read_by: str = ""
    read_verdict: Verdict | None = None
    read_leftovers: Leftovers | None = None
    decided_at: datetime | None = None
    decided_by: str = ""
    decision: AuditDecision | None = None
    reason: str = ""
    read_blind: bool = True

    @property
    def is_read(self) -> bool:
        """Whether it was read a second time."""
        return self.read_at is not None

    @property
    def is_undecided(self) -> bool:
        """Whether it was read a second time, and the decision is still to come."""
        return self.is_read and self.decision is None
