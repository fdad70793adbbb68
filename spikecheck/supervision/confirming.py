"""Confirms at once what both readers of a sample passed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.supervision.meanwhile import refuse_stale
from spikecheck.supervision.steps import is_own
from spikecheck.vocabulary.audit_steps import AuditDecided, AuditDecision, Leftovers
from spikecheck.vocabulary.entry import Step
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from spikecheck.store import Store
    from spikecheck.store.as_it_stands import AsItStands
    from spikecheck.vocabulary.spike_record import SpikeRecord


def confirmable(records: Iterable[SpikeRecord], by: str) -> tuple[SpikeRecord, ...]:
    """Return the spikes that ``by`` may confirm unseen: both readers passed, nobody decided.

    Left out are those whose second reader knew the first answer, as one is no proof of the other
    then, and what ``by`` checked or set the verdict of: nobody audits themselves.

    Parameters
    ----------
    records
        Drawn spikes.
    by
        Who would confirm.
    """
    return tuple(
        one for one in records
        if one.audit is not None and one.audit.decision is None
        and one.audit.first_verdict is one.audit.read_verdict is Verdict.PASS
        and one.audit.read_blind and one.audit.check == one.check and not is_own(one, by)
    )  # fmt: skip


def confirm_all(store: Store, seen: Sequence[SpikeRecord], *, by: str) -> None:
    """Confirm that nothing is left in these spikes, all of them or none.

    Parameters
    ----------
    store
        The records.
    seen
        The spikes as whoever confirms saw them.
    by
        Who confirms.

    Raises
    ------
    StepError
        If the audit of one of them went on since, or it was checked by ``by``.
    """

    def choose(standing: AsItStands) -> list[tuple[str, int, Step]]:
        steps = []
        for one in seen:
            refuse_stale(standing.spike(one.cross, one.spike), one)
            detail = AuditDecided(one.check, AuditDecision.CONFIRMED, "", Leftovers.NONE, ())
            step = Step(detail, standing.moment, by, session=one.session)
            steps.append((one.cross, one.spike, step))
        return steps

    store.spikes.add_as_it_stands(choose)
