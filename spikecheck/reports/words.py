"""Words that several parts of a report share."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.language import _, day_and_time
from spikecheck.vocabulary import words

if TYPE_CHECKING:
    from datetime import datetime

    from spikecheck.reports.facts import SessionFacts
    from spikecheck.vocabulary.spike_record import SpikeRecord
    from spikecheck.vocabulary.verdict import Verdict

NOTHING = "\N{EN DASH}"
"""Stands in a cell that has nothing to say."""


def verdict_word(verdict: Verdict | None) -> str:
    """Return a verdict in the reader's language; None is a spike that was not checked."""
    return _("not checked") if verdict is None else words.verdict_word(verdict)


def held_word(record: SpikeRecord) -> str:
    """Return the verdict that stands, and whether an audit sent the spike back since."""
    return _and_sent_back(verdict_word(record.verdict), record)


def standing_words(record: SpikeRecord) -> str:
    """Return the same, and the computed verdict where a person set another."""
    word = verdict_word(record.verdict)
    if record.overridden and record.computed_verdict is not record.verdict:
        computed = verdict_word(record.computed_verdict)
        word = _("{verdict}, by a person; computed: {computed}").format(
            verdict=word, computed=computed
        )
    return _and_sent_back(word, record)


def _and_sent_back(word: str, record: SpikeRecord) -> str:
    return _("{verdict}, then sent back").format(verdict=word) if record.sent_back else word


def moment(facts: SessionFacts, when: datetime | None) -> str:
    """Return a moment in the time zone of the report, or a dash where there is none."""
    return NOTHING if when is None else day_and_time(when.astimezone(facts.zone))
