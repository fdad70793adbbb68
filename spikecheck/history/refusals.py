"""How a step that cannot have happened is refused: what, why, and the cure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.errors import StepError
from spikecheck.vocabulary.steps import kind_of

if TYPE_CHECKING:
    from datetime import datetime

    from spikecheck.vocabulary.entry import Step
    from spikecheck.vocabulary.spike_record import SpikeRecord

TAKE_BACK = "Take that entry back if it is wrong"


def needs(
    record: SpikeRecord, step: Step, moment: datetime | None, lacks: str, cure: str
) -> None:  # fmt: skip
    """Refuse ``step`` where what it needs has not happened."""
    if moment is None:
        raise refused(record, step, lacks, cure)


def not_yet(
    record: SpikeRecord, step: Step, moment: datetime | None, done: str, cure: str = TAKE_BACK
) -> None:  # fmt: skip
    """Refuse ``step`` where what it comes before, or is, has happened already."""
    if moment is not None:
        raise refused(record, step, f"{done}, on {shown_moment(moment)}", cure)


def refused(record: SpikeRecord, step: Step, why: str, cure: str) -> StepError:
    """Return the error that says why ``step`` cannot have happened to the spike."""
    words = str(kind_of(step.detail)).replace("_", " ")
    return StepError(
        f"cannot be {words} on {shown_moment(step.at)}: it {why}",
        where=f"spike {record.cross}/{record.spike}", cure=cure,
    )  # fmt: skip


def shown_moment(moment: datetime) -> str:
    """Return a moment as errors show it."""
    return f"{moment.astimezone():%Y-%m-%d %H:%M}"
