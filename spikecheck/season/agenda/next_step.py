"""Which step a spike waits for, and from which moment its time runs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.season.agenda.tasks import TaskKind
from spikecheck.season.windows import emasculating, holds, receptive, ripening
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from datetime import datetime

    from spikecheck.season.windows import Span
    from spikecheck.thresholds.season import SeasonNumbers
    from spikecheck.vocabulary.spike_record import SpikeRecord


def next_step(record: SpikeRecord) -> TaskKind | None:
    """Return what the spike waits for, as far as temperatures do not matter; None if for nothing.

    A bag may be waited for although the check holds no more, and a bag to be put back although
    the seed is ripe: who knows the temperatures corrects that.
    """
    if record.given_up_at is not None or record.threshed_at is not None:
        return None
    if record.harvested_at is not None:
        return TaskKind.THRESH
    if record.sent_back:
        return TaskKind.OPEN_AND_CHECK
    return _until_harvest(record)


def _until_harvest(record: SpikeRecord) -> TaskKind:
    if record.pollinated_at is not None:
        return TaskKind.HARVEST if record.rebagged_at is not None else TaskKind.REBAG
    if record.emasculated_at is None:
        return TaskKind.EMASCULATE
    if record.bagged_at is not None:
        return TaskKind.HARVEST if record.control else TaskKind.POLLINATE
    return _before_the_bag(record, record.emasculated_at)


def _before_the_bag(record: SpikeRecord, emasculated_at: datetime) -> TaskKind:
    # A check from before the anthers were pulled (again) says nothing of what is left now.
    if record.checked_at is None or record.checked_at < emasculated_at:
        return TaskKind.CHECK
    return TaskKind.BAG if record.verdict is Verdict.PASS else TaskKind.GO_BACK


def runs_from(record: SpikeRecord, kind: TaskKind) -> datetime | None:
    """Return from which moment the time of a task runs, UTC."""
    if kind is TaskKind.EMASCULATE:
        return record.selected_at
    if kind in (TaskKind.GO_BACK, TaskKind.BAG):
        return record.checked_at
    if kind is TaskKind.THRESH:
        return record.harvested_at
    if kind is TaskKind.REBAG or (kind is TaskKind.HARVEST and record.pollinated_at is not None):
        return record.pollinated_at
    return record.emasculated_at


def spans_of(numbers: SeasonNumbers) -> dict[tuple[TaskKind, bool], Span]:
    """Return the degree-days of every kind of task, by whether an anther near anthesis was seen."""
    spans: dict[tuple[TaskKind, bool], Span] = {}
    for near_anthesis in (False, True):
        held = holds(numbers, near_anthesis=near_anthesis)
        spans |= {
            (TaskKind.EMASCULATE, near_anthesis): emasculating(numbers),
            # Until someone looks, an anther near anthesis may have been left.
            (TaskKind.CHECK, near_anthesis): holds(numbers, near_anthesis=True),
            (TaskKind.OPEN_AND_CHECK, near_anthesis): holds(numbers, near_anthesis=True),
            (TaskKind.GO_BACK, near_anthesis): held,
            (TaskKind.BAG, near_anthesis): held,
            (TaskKind.POLLINATE, near_anthesis): receptive(numbers),
            (TaskKind.REBAG, near_anthesis): ripening(numbers),
            (TaskKind.HARVEST, near_anthesis): ripening(numbers),
            (TaskKind.THRESH, near_anthesis): ((0.0, 0.0), (0.0, 0.0), (0.0, 0.0)),
        }
    return spans
