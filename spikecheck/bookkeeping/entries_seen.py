"""Entries of a spike as someone saw them: what still holds, what came since."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.errors import StepError
from spikecheck.history.replay import may_be_corrected

if TYPE_CHECKING:
    from collections.abc import Sequence
    from zoneinfo import ZoneInfo

    from spikecheck.vocabulary.entry import Entry
    from spikecheck.vocabulary.steps import StepKind


def replaced_entries(entries: Sequence[Entry]) -> frozenset[int]:
    """Return the numbers of entries that were corrected or taken back."""
    return frozenset(entry.corrects for entry in entries if entry.corrects is not None)


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
        f"{kind.replace('_', ' ')} was recorded by {entry.recorded_by} on "
        f"{entry.recorded_at.astimezone(zone):%Y-%m-%d %H:%M}, after this page was opened",
        where=where, cure="Look at the history before you record it once more",
    )  # fmt: skip
