"""Which steps to offer for recording, the one that comes next first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.season.agenda import TaskKind
from spikecheck.vocabulary.steps import AUDIT_KINDS, StepKind

if TYPE_CHECKING:
    from spikecheck.season.agenda import Task
    from spikecheck.vocabulary.spike_record import SpikeRecord

_STEP_OF = {
    TaskKind.EMASCULATE: StepKind.EMASCULATED,
    TaskKind.CHECK: StepKind.CHECKED,
    TaskKind.GO_BACK: StepKind.CHECKED,
    TaskKind.CHECK_AGAIN: StepKind.CHECKED,
    TaskKind.OPEN_AND_CHECK: StepKind.CHECKED,
    TaskKind.BAG: StepKind.BAGGED,
    TaskKind.POLLINATE: StepKind.POLLINATED,
    TaskKind.REBAG: StepKind.REBAGGED,
    TaskKind.HARVEST: StepKind.HARVESTED,
    TaskKind.THRESH: StepKind.THRESHED,
}
# Filed with photos, set against a verdict or part of an audit, never written down as a step.
_NOT_BY_HAND = {StepKind.CHECKED, StepKind.OVERRIDDEN} | AUDIT_KINDS


def coming_step(record: SpikeRecord, task: Task | None) -> StepKind | None:
    """Return the step that comes next on a spike, or None if none does.

    Parameters
    ----------
    record
        The spike as it stands.
    task
        Its task on the agenda, or None where it has none.
    """
    if task is not None:
        return _STEP_OF[task.kind]
    seed_left = (record.seeds or 0) > (record.tested or 0)
    return StepKind.SEED_TESTED if seed_left and record.given_up_at is None else None


def steps_to_offer(coming: StepKind | None) -> tuple[StepKind, ...]:
    """Return every step that is written down by hand, in order of the way, ``coming`` first.

    A check is none of them: it is filed with its photos. Where one comes next nothing is put first,
    so that nobody is led past it.
    """
    kinds = tuple(kind for kind in StepKind if kind not in _NOT_BY_HAND)
    if coming not in kinds:
        return kinds
    return coming, *(kind for kind in kinds if kind is not coming)
