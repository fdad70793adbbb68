"""The check of one spike at the bench: how many photos, and what comes next once it is recorded."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.bookkeeping.recording import record_steps
from spikecheck.errors import StepError
from spikecheck.language import _
from spikecheck.thresholds.bench import load_bench
from spikecheck.vocabulary.steps import Bagged
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from datetime import datetime

    from spikecheck.bookkeeping.recording import Recorded
    from spikecheck.store import RecordedCheck, Store
    from spikecheck.vocabulary import SpikeRecord


class BenchStep(StrEnum):
    """What comes next on a spike whose check is recorded."""

    GO_BACK = "go_back"
    """The verdict is review: take out what is left, or decide otherwise."""
    EMASCULATION = "emasculation"
    """Nobody has recorded that it was emasculated: no bag can be recorded before that."""
    BAG = "bag"
    NEXT_SPIKE = "next_spike"


def bench_step(record: SpikeRecord) -> BenchStep:
    """Return what comes next on a spike as it stands, a check of it being recorded.

    A bag from before the latest check was taken off for it: it comes next again.
    """
    if record.verdict is not Verdict.PASS:
        return BenchStep.GO_BACK
    bagged, checked = record.bagged_at, record.checked_at
    if record.pollinated_at is not None or (bagged and checked and bagged >= checked):
        return BenchStep.NEXT_SPIKE
    if record.emasculated_at is None:
        return BenchStep.EMASCULATION
    return BenchStep.BAG


def record_bag(store: Store, check: RecordedCheck, *, by: str, now: datetime) -> Recorded:
    """Record that the bag is on the spike of a check that was just recorded.

    Parameters
    ----------
    store
        Where to.
    check
        The check as recorded.
    by
        Who put the bag on.
    now
        With time zone.

    Raises
    ------
    StepError
        If the bag cannot be on yet: the tap came with that which recorded the check; or as
        :func:`~spikecheck.bookkeeping.recording.record_steps`.
    """
    if (now - check.at).total_seconds() < load_bench().bag_after_s:
        raise StepError(
            _("that tap came right after the one before, so the bag is not recorded"),
            cure=_("Put the bag on, then tap again"),
        )
    spike = (check.cross, check.spike)
    return record_steps(store, [spike], lambda _record: Bagged(), at=now, by=by, now=now)[0]


def photos_most() -> int:
    """Return how many photos of one spike are taken at most."""
    return load_bench().photos_most


def next_number(store: Store, cross: str) -> int:
    """Return the number after the highest of a cross that was checked, or 1."""
    checked = [one.spike for one in store.spikes.of_cross(cross) if one.check is not None]
    return max(checked, default=0) + 1
