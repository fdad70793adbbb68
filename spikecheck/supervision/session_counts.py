"""Spikes of a crossing session, counted as they stand, and by who did what."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.vocabulary.spike_record import SpikeRecord


@dataclass(frozen=True, slots=True)
class SpikeCounts:
    """Spikes, counted as they stand.

    Parameters
    ----------
    spikes
        All of them.
    passed, review, unchecked
        By the verdict that stands; together they make ``spikes``.
    overridden
        Those whose verdict a person set.
    ever_bagged, bagged
        Those that were bagged, and of them those in their bags now.
    given_up
        Given up.
    sent_back
        Sent back by an audit and not checked anew yet.
    """

    spikes: int
    passed: int
    review: int
    unchecked: int
    overridden: int
    ever_bagged: int
    bagged: int
    given_up: int
    sent_back: int


@dataclass(frozen=True, slots=True)
class PersonCounts:
    """What one person did in a session: spikes emasculated, checked, and verdicts set by hand."""

    name: str
    emasculated: int
    checked: int
    overridden: int


def spike_counts(records: Sequence[SpikeRecord]) -> SpikeCounts:
    """Count spikes as they stand."""
    return SpikeCounts(
        spikes=len(records),
        passed=sum(record.verdict is Verdict.PASS for record in records),
        review=sum(record.verdict is Verdict.REVIEW for record in records),
        unchecked=sum(record.verdict is None for record in records),
        overridden=sum(record.overridden for record in records),
        ever_bagged=sum(record.bagged_at is not None for record in records),
        bagged=sum(
            record.bagged_at is not None and record.given_up_at is None
            and record.harvested_at is None
            for record in records
        ),
        given_up=sum(record.given_up_at is not None for record in records),
        sent_back=sum(record.sent_back for record in records),
    )  # fmt: skip


def person_counts(records: Sequence[SpikeRecord]) -> tuple[PersonCounts, ...]:
    """Count what each person did, by name."""
    pulled = Counter(record.emasculated_by for record in records)
    checked = Counter(record.checked_by for record in records if record.check is not None)
    overridden = Counter(record.overridden_by for record in records if record.overridden)
    names = sorted({*pulled, *checked, *overridden} - {""})
    return tuple(PersonCounts(one, pulled[one], checked[one], overridden[one]) for one in names)
