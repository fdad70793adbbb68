"""One line of the history: what happened, when, who says so; never changed once written."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime

    from spikecheck.vocabulary.steps import StepDetail, StepKind


@dataclass(frozen=True, slots=True)
class Step:
    """What happened to one spike.

    Parameters
    ----------
    detail
        What, with what must be known of it.
    at
        When it happened, UTC.
    by
        Who did it.
    session
        Id of the crossing session, or empty.
    note
        Free text, may be empty.
    """

    detail: StepDetail
    at: datetime
    by: str
    session: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Entry:
    """A step as it stands in the history of a spike.

    Parameters
    ----------
    number
        Number of the entry in the history of the whole store, rising.
    kind
        What kind of step.
    step
        What happened, or None where the entry only takes another one back.
    corrects
        Number of the entry that it replaces or takes back, or None.
    recorded_at
        When it was written, UTC.
    recorded_by
        Who wrote it.
    reason
        Why it corrects; empty otherwise.
    """

    number: int
    kind: StepKind
    step: Step | None
    corrects: int | None
    recorded_at: datetime
    recorded_by: str
    reason: str = ""
