"""Records steps for the commands and tells how each spike stands then."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from spikecheck.bookkeeping.recording import DetailOf
    from spikecheck.store import Store
    from spikecheck.vocabulary.spike_record import SpikeRecord


def tell_steps(
    spikes: Sequence[str],
    detail_of: DetailOf,
    *,
    at: str | None,
    by: str,
    session: str = "",
    note: str = "",
    corrects: int | None,
    reason: str,
    store: str | None,
) -> None:
    """Record a step of every spike named, or correct one entry, and say how each stands.

    Parameters
    ----------
    spikes
        As people name them.
    detail_of
        Returns what happened to a spike.
    at, by, session, note
        As typed.
    corrects, reason
        The entry to correct and why, or None and empty.
    store
        Where the records are.

    Raises
    ------
    UsageError
        If a reason comes without an entry or an entry without a reason, or several spikes with an
        entry.
    """
    from spikecheck.bookkeeping.recording import record_steps
    from spikecheck.bookkeeping.spike_names import spikes_named
    from spikecheck.errors import UsageError
    from spikecheck.store import open_store

    if reason and corrects is None:
        raise UsageError("--reason is for corrections", cure="Add --corrects ENTRY, or use --note")
    moment = typed_moment(at)
    with open_store(store) as records:
        named = spikes_named(records, spikes)
        if corrects is not None:
            _correct(
                records, named, corrects, detail_of, at=None if at is None else moment, by=by,
                session=session or None, note=note or None, reason=reason,
            )  # fmt: skip
            return
        recorded = record_steps(
            records, named, detail_of, at=moment, by=by, session=session, note=note, now=_now()
        )
        tell_spikes(records, [(one.record, one.remarks) for one in recorded])


def typed_moment(text: str | None) -> datetime:
    """Return the moment a person typed, UTC; None is now."""
    from spikecheck.bookkeeping.local_time import local_zone, read_moment

    return read_moment(text, now=_now(), zone=local_zone())


def tell_spikes(store: Store, told: Sequence[tuple[SpikeRecord, Sequence[str]]]) -> None:
    """Say how spikes stand, what to look at again and what comes next.

    Parameters
    ----------
    store
        Where they are; temperatures are read once for all of them.
    told
        Each spike with its remarks.
    """
    from spikecheck.bookkeeping.season_of_store import season_of
    from spikecheck.bookkeeping.standing import standing_line
    from spikecheck.cli.console import printable, say

    season = season_of(store, now=_now())
    tasks = season.agenda(record for record, _ in told)
    coming = {(task.cross, task.spike): task.sentence for task in tasks}
    for record, remarks in told:
        say(printable(standing_line(record, season.zone)))
        for remark in remarks:
            say(printable(f"    Look again: {remark}"))
        sentence = coming.get((record.cross, record.spike))
        if sentence is not None:
            say(printable(f"    Next: {sentence}"))


def _correct(
    store: Store,
    named: Sequence[tuple[str, int]],
    entry: int,
    detail_of: DetailOf | None,
    *,
    at: datetime | None,
    by: str,
    session: str | None,
    note: str | None,
    reason: str,
) -> None:
    from spikecheck.bookkeeping.recording import correct_step
    from spikecheck.errors import UsageError

    if not reason:
        raise UsageError("a correction needs a reason", cure="Add --reason TEXT")
    if len(named) != 1:
        raise UsageError(
            f"an entry belongs to one spike, {len(named)} are named", cure="Name that one"
        )
    record = correct_step(
        store, named[0], entry, detail_of, at=at, by=by, session=session, note=note, reason=reason
    )
    tell_spikes(store, [(record, ())])


def tell_taken_back(spike: str, entry: int, *, by: str, reason: str, store: str | None) -> None:
    """Take an entry of a spike back and say how the spike stands then."""
    from spikecheck.bookkeeping.spike_names import spikes_named
    from spikecheck.store import open_store

    with open_store(store) as records:
        _correct(
            records, spikes_named(records, [spike]), entry, None,
            at=None, by=by, session=None, note=None, reason=reason,
        )  # fmt: skip


def _now() -> datetime:
    from datetime import UTC, datetime

    return datetime.now(UTC)
