"""Steps of invented spikes for tests of the season's pages."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from spikecheck.vocabulary import Step
from spikecheck.vocabulary.steps import Bagged, Emasculated, Pollinated

if TYPE_CHECKING:
    from spikecheck.store import Store
    from spikecheck.vocabulary.steps import StepDetail

CROSS = "SPICA-7"


def did(
    store: Store, spike: int, detail: StepDetail, *, hours_ago: float = 0, cross: str = CROSS,
    by: str = "Ilse", session: str = "", note: str = "",
) -> None:  # fmt: skip
    """Record a step of a spike."""
    at = datetime.now(UTC) - timedelta(hours=hours_ago)
    store.spikes.add(cross, spike, Step(detail, at, by, session, note))


def emasculate(store: Store, *spikes: int, hours_ago: float = 3, session: str = "") -> None:
    """Record that the anthers of spikes were pulled."""
    for spike in spikes:
        did(store, spike, Emasculated(20, 60), hours_ago=hours_ago, session=session)


def bag(store: Store, *spikes: int, hours_ago: float = 2) -> None:
    """Record that spikes were bagged without a check."""
    for spike in spikes:
        did(store, spike, Bagged("no camera"), hours_ago=hours_ago)


def pollinate(store: Store, *spikes: int, hours_ago: float = 1) -> None:
    """Record that spikes were pollinated as planned."""
    for spike in spikes:
        did(store, spike, Pollinated("Tiefland 3"), hours_ago=hours_ago)
