"""The check of one spike at the bench: how many photos, and what comes next once it is recorded."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.bookkeeping.recording import as_it_stands, record_steps
from spikecheck.bookkeeping.season_of_store import season_of
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
    CHECK_AGAIN = "check_again"
    """It passed, but too long ago for a bag."""
    BAG = "bag"
    NEXT_SPIKE = "next_spike"


@dataclass(frozen=True, slots=True)
class AfterCheck:
    """What comes after a check.

    Parameters
    ----------
    step
        What comes next on its spike.
    held_until
        Until when it held, in words and local time; empty unless it is the latest, passed, and
        holds no more.
    """

    step: BenchStep
    held_until: str


def after_check(store: Store, check: RecordedCheck, *, now: datetime) -> AfterCheck:
    """Return what comes after a check of a spike.

    Parameters
    ----------
    store
        Where it is recorded.
    check
        The check as recorded.
    now
        With time zone.

    Raises
    ------
    SpikecheckError
        If the records cannot be read.
    """
    season = season_of(store, now=now)
    record = as_it_stands(store, check.cross, check.spike)
    expired = season.check_expired(record, now)
    step = bench_step(record, expired=expired is not None)
    if expired is None or step is not BenchStep.CHECK_AGAIN or record.check != check.id:
        return AfterCheck(step, "")
    return AfterCheck(step, expired.words(season.zone))


def bench_step(record: SpikeRecord, *, expired: bool = False) -> BenchStep:
    """Return what comes next on a spike as it stands, a check of it being recorded.

    A bag from before the latest check was taken off for it: it comes next again.

    Parameters
    ----------
    record
        The spike.
    expired
        Whether its latest check holds no more.
    """
    if record.verdict is not Verdict.PASS:
        return BenchStep.GO_BACK
    bagged, checked = record.bagged_at, record.checked_at
    if record.pollinated_at is not None or (bagged and checked and bagged >= checked):
        return BenchStep.NEXT_SPIKE
    if record.emasculated_at is None:
        return BenchStep.EMASCULATION
    return BenchStep.CHECK_AGAIN if expired else BenchStep.BAG


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
