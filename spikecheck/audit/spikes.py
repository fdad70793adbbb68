"""The spikes that a second look is about: those of a session that were bagged."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from spikecheck.vocabulary.spike_record import SpikeRecord


@dataclass(frozen=True, slots=True, order=True)
class SpikeName:
    """Which spike: the id of its cross and its number in it, from 1."""

    cross: str
    spike: int

    def __str__(self) -> str:
        return f"{self.cross}/{self.spike}"


def name_of(record: SpikeRecord) -> SpikeName:
    """Return the name of a recorded spike."""
    return SpikeName(record.cross, record.spike)


def bagged_lot(records: Iterable[SpikeRecord], session: str) -> tuple[SpikeRecord, ...]:
    """Return the spikes of ``session`` that hang in their bags, by name.

    Those given up are left out: nothing comes of them, so nobody answers for them. So are those
    harvested: they can no longer be looked at.
    """
    lot = (
        record
        for record in records
        if record.session == session
        and record.bagged_at is not None
        and record.given_up_at is None
        and record.harvested_at is None
    )
    return tuple(sorted(lot, key=name_of))
