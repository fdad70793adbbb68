"""Entries of a spike as someone saw them: what still holds, what came since."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.errors import StepError
from spikecheck.history.replay import may_be_corrected
from spikecheck.language import _, day_and_time
from spikecheck.vocabulary.words import step_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import datetime
    from zoneinfo import ZoneInfo

    from spikecheck.vocabulary.entry import Entry
    from spikecheck.vocabulary.steps import StepKind


def happened_at(entry: Entry) -> datetime:
    """Return when the step happened, or when it was taken back where the entry only does that."""
    return entry.recorded_at if entry.step is None else entry.step.at


def by_time(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """Return entries in the order in which they happened, those of one moment by their numbers."""
    return tuple(sorted(entries, key=lambda one: (happened_at(one), one.number)))


def replaced_entries(entries: Iterable[Entry]) -> dict[int, str]:
    """Return the numbers of entries that hold no more, each with what became of it, in words.

    Parameters
    ----------
    entries
        All entries of one spike.
    """
    return {
        entry.corrects: (
            _("taken back by entry {number}, holds no more")
            if entry.step is None
            else _("corrected by entry {number}, holds no more")
        ).format(number=entry.number)
        for entry in entries
        if entry.corrects is not None
    }


def entries_to_take_back(entries: Sequence[Entry]) -> tuple[Entry, ...]:
    """Return the entries that may be taken back by hand, newest first.

    Parameters
    ----------
    entries
        All entries of one spike.
    """
    found = []
    for entry in reversed(entries):
        try:
            found.append(may_be_corrected(entries, entry.number))
        except StepError:
            continue
    return tuple(found)


def latest_of(entries: Sequence[Entry], kind: StepKind) -> int:
    """Return the number of the latest entry of a kind, or 0 without one."""
    return max((entry.number for entry in entries if entry.kind is kind), default=0)


def refuse_recorded_since(
    entries: Sequence[Entry], kind: StepKind, *, seen: int, where: str, zone: ZoneInfo
) -> None:
    """Refuse to record a step that someone else recorded in the meantime.

    Some steps may happen twice, a bag for one; a page that is older than the history must not
    make two of one.

    Parameters
    ----------
    entries
        All entries of one spike by now.
    kind
        Of the step that is to be recorded.
    seen
        What :func:`latest_of` gave when the person looked.
    where
        The spike, for the message.
    zone
        Of the moment in the message.

    Raises
    ------
    StepError
        If there is a newer entry of that kind.
    """
    newest = latest_of(entries, kind)
    if newest <= seen:
        return
    entry = next(one for one in entries if one.number == newest)
    raise StepError(
        _("{kind} was recorded by {recorded_by} on {moment}, after this page was opened").format(
            kind=step_words(kind),
            recorded_by=entry.recorded_by,
            moment=day_and_time(entry.recorded_at.astimezone(zone)),
        ),
        where=where,
        cure=_("Look at the history before you record it once more"),
    )
