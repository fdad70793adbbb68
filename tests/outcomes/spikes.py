"""Spikes whose outcome is known, for tests."""

from __future__ import annotations

from datetime import UTC, datetime

from spikecheck.vocabulary import SpikeRecord

MOMENT = datetime(2026, 5, 4, 9, tzinfo=UTC)


def crossed(seeds, florets, spike=1, **fields):
    """A pollinated, threshed spike."""
    known = {"cross": "X-1", "crop": "wheat", "female": "Tarn", "male": "Alva"} | fields
    return SpikeRecord(
        spike=spike, pollinated_at=MOMENT, threshed_at=MOMENT, seeds=seeds, seed_florets=florets,
        **known,
    )  # fmt: skip


def control(seeds, florets, spike=1, **fields):
    """A threshed control spike."""
    known = {"cross": "X-1", "crop": "wheat", "female": "Tarn", "male": "Alva"} | fields
    return SpikeRecord(
        spike=spike, control=True, threshed_at=MOMENT, seeds=seeds, seed_florets=florets, **known
    )


def seed_tested(selfed, seeds, spike=1, **fields):
    """A pollinated spike whose seed was tested."""
    return crossed(seeds, max(seeds, 1), spike, tested=seeds, selfed=selfed, **fields)
