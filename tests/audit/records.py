"""Spikes of an invented session, and readings of them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from spikecheck.audit.blind import SpikeReading
from spikecheck.audit.spikes import SpikeName
from spikecheck.vocabulary.spike_record import SpikeRecord
from spikecheck.vocabulary.verdict import Verdict

SESSION, HEAD = "bench-2", "ab" * 32
NOON = datetime(2026, 5, 20, 12, tzinfo=UTC)


def spike(number: int = 1, **change: object) -> SpikeRecord:
    """A bagged spike of the session."""
    facts = {
        "cross": "C1", "spike": number, "crop": "wheat", "female": "Lark 4", "male": "Wren 7",
        "session": SESSION, "emasculated_by": "Ida", "checked_by": "Ida", "checked_at": NOON,
        "verdict": Verdict.PASS, "bagged_at": NOON + timedelta(hours=1),
    }  # fmt: skip
    return SpikeRecord(**(facts | change))  # type: ignore[arg-type]


def reading(number: int, answer: str, reader: str) -> SpikeReading:
    """A reading of one spike of the session."""
    return SpikeReading(SpikeName("C1", number), reader, answer, NOON)
