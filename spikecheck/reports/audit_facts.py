"""What a report says of the second look at a session, whatever worked it out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime

    from spikecheck.charts import Chart


@dataclass(frozen=True, slots=True)
class AuditedSpike:
    """One spike of the sample.

    Parameters
    ----------
    cross, spike
        Which one.
    first, first_by
        The verdict that stood when it was read, and whose it was; empty without one.
    second, second_by
        The second reading, and whose; empty while it is not read.
    decision, decided_by, decided_at, reason
        What was decided, by whom, when, UTC, and why; empty and None while it is not decided.
    """

    cross: str
    spike: int
    first: str = ""
    first_by: str = ""
    second: str = ""
    second_by: str = ""
    decision: str = ""
    decided_by: str = ""
    decided_at: datetime | None = None
    reason: str = ""


@dataclass(frozen=True, slots=True)
class AuditFacts:
    """The second look.

    Parameters
    ----------
    sentences
        Plan, result and agreement in the reader's words, one thing each.
    spikes
        The sample, by cross and number.
    charts
        What can be drawn of it.
    """

    sentences: tuple[str, ...]
    spikes: tuple[AuditedSpike, ...]
    charts: tuple[Chart, ...] = ()
