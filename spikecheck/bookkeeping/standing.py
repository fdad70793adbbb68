"""How a spike stands, in a line."""

from __future__ import annotations

from typing import TYPE_CHECKING

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
    when = "" if moment is None else f" {moment.astimezone(zone):%Y-%m-%d %H:%M}"
    known = [words + when, *_facts(record)]
    return f"{record.cross}/{record.spike}: {', '.join(known)}"


def last_step(record: SpikeRecord) -> tuple[str, datetime | None]:
    """Return the last step of the way that was done, in words, and when."""
    verdict = "" if record.verdict is None else f"checked ({record.verdict.value}"
    checked = f"{verdict}, overridden)" if record.overridden else f"{verdict})"
    if record.given_up_at is not None:
        return "given up", record.given_up_at
    for words, moment in (
        ("threshed", record.threshed_at),
        ("harvested", record.harvested_at),
        ("re-bagged", record.rebagged_at),
        ("pollinated", record.pollinated_at),
        ("bagged", record.bagged_at),
    ):
        if moment is not None:
            return words, moment
    happened = [
        (moment, words)
        for words, moment in (
            ("selected", record.selected_at),
            ("emasculated", record.emasculated_at),
            (checked, record.checked_at),
        )
        if moment is not None
    ]
    if not happened:
        return ("tagged" if record.tag else "nothing happened yet"), None
    moment, words = max(happened)
    return words, moment


def _facts(record: SpikeRecord) -> list[str]:
    facts = []
    if record.control:
        facts.append("control")
    if record.sent_back:
        facts.append("sent back by an audit: the check holds no more")
    if record.florets is not None and record.threshed_at is None:
        facts.append(f"{record.florets} florets, {record.anthers} anthers pulled")
    if record.pollinated_male:
        facts.append(f"male {record.pollinated_male}")
    if record.seeds is not None:
        facts.append(f"{record.seeds} seeds of {record.seed_florets} florets")
    if record.tested is not None:
        facts.append(f"{record.selfed} selfed of {record.tested} tested")
    if record.given_up_reason:
        facts.append(record.given_up_reason)
    return facts
