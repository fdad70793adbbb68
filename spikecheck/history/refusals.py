"""How a step that cannot have happened is refused: what, why, and the cure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.errors import StepError
from spikecheck.language import N_, _, day_and_time
from spikecheck.vocabulary.steps import kind_of
from spikecheck.vocabulary.words import step_words

if TYPE_CHECKING:
    from datetime import datetime

    from spikecheck.vocabulary.entry import Step
    from spikecheck.vocabulary.spike_record import SpikeRecord

TAKE_BACK = N_("Take that entry back if it is wrong")


def needs(
    record: SpikeRecord, step: Step, moment: datetime | None, lacks: str, cure: str
) -> None:  # fmt: skip
    """Refuse ``step`` where what it needs has not happened."""
    if moment is None:
        raise refused(record, step, lacks, cure)


def not_yet(
    record: SpikeRecord, step: Step, moment: datetime | None, done: str, cure: str = ""
) -> None:  # fmt: skip
    """Refuse ``step`` where what it comes before, or is, has happened already."""
    if moment is not None:
        why = _("{done}, on {moment}").format(done=done, moment=shown_moment(moment))
        raise refused(record, step, why, cure or _(TAKE_BACK))


def refused(record: SpikeRecord, step: Step, why: str, cure: str) -> StepError:
    """Return the error that says why ``step`` cannot have happened to the spike."""
    words = step_words(kind_of(step.detail))
    return StepError(
        _("cannot be {words} on {at}: it {why}").format(
            words=words, at=shown_moment(step.at), why=why
        ),
        where=_("spike {cross}/{spike}").format(cross=record.cross, spike=record.spike),
        cure=cure,
    )


def shown_moment(moment: datetime) -> str:
    """Return a moment as errors show it."""
    return day_and_time(moment.astimezone())
