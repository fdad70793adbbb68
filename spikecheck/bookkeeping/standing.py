"""How a spike stands, in a line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.language import _, day_and_time
from spikecheck.vocabulary.steps import StepKind
from spikecheck.vocabulary.words import (
    pulled_words,
    seed_set_words,
    spike_name,
    step_words,
    verdict_word,
)

if TYPE_CHECKING:
    from datetime import datetime
    from zoneinfo import ZoneInfo

    from spikecheck.vocabulary.spike_record import SpikeRecord


def standing_line(record: SpikeRecord, zone: ZoneInfo) -> str:
    """Return one line: the spike, its last step, and what is known of it.

    Parameters
    ----------
    record
        The spike.
    zone
        Of the moments shown.
    """
    words, moment = last_step(record)
    when = "" if moment is None else f" {day_and_time(moment.astimezone(zone))}"
    known = [words + when, *_facts(record)]
    return f"{spike_name(record.cross, record.spike)}: {', '.join(known)}"


def last_step(record: SpikeRecord) -> tuple[str, datetime | None]:
    """Return the last step of the way that was done, in words, and when."""
    if record.given_up_at is not None:
        return step_words(StepKind.GIVEN_UP), record.given_up_at
    for kind, moment in (
        (StepKind.THRESHED, record.threshed_at),
        (StepKind.HARVESTED, record.harvested_at),
        (StepKind.REBAGGED, record.rebagged_at),
        (StepKind.POLLINATED, record.pollinated_at),
        (StepKind.BAGGED, record.bagged_at),
    ):
        if moment is not None:
            return step_words(kind), moment
    happened = [
        (moment, words)
        for words, moment in (
            (step_words(StepKind.SELECTED), record.selected_at),
            (step_words(StepKind.EMASCULATED), record.emasculated_at),
            (_checked(record), record.checked_at),
        )
        if moment is not None
    ]
    if not happened:
        if record.tag:
            return step_words(StepKind.TAGGED), None
        return _("nothing happened yet"), None
    moment, words = max(happened)
    return words, moment


def _checked(record: SpikeRecord) -> str:
    if record.verdict is None:
        return ""
    told = _("checked ({verdict}, overridden)") if record.overridden else _("checked ({verdict})")
    return told.format(verdict=verdict_word(record.verdict))


def _facts(record: SpikeRecord) -> list[str]:
    facts = []
    if record.control:
        facts.append(_("control"))
    if record.sent_back:
        facts.append(_("sent back by an audit: the check holds no more"))
    if record.florets is not None and record.threshed_at is None:
        facts.append(pulled_words(record.florets, record.anthers))
    if record.pollinated_male:
        facts.append(_("male {male}").format(male=record.pollinated_male))
    if record.seeds is not None:
        facts.append(seed_set_words(record.seeds, record.seed_florets))
    if record.tested is not None:
        facts.append(
            _("{selfed} selfed of {tested} tested").format(
                selfed=record.selfed, tested=record.tested
            )
        )
    if record.given_up_reason:
        facts.append(record.given_up_reason)
    return facts
