"""The history of spikes as the rest of the program sees it: added to, corrected, read."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from spikecheck.errors import SpikecheckError, StepError, TagError, UsageError
from spikecheck.history.replay import may_be_corrected
from spikecheck.language import N_, _, day_and_time
from spikecheck.store.as_it_stands import AsItStands, select_spike
from spikecheck.store.chain_writer import ChainWriter
from spikecheck.store.crosses import select_cross
from spikecheck.store.entry_rows import (
    SpikeRow,
    append_step,
    select_audit_entries,
    select_entries,
    select_every_entry,
    select_redrawn_entries,
)
from spikecheck.store.moments import now
from spikecheck.store.season_tables import spike_states
from spikecheck.store.sessions import known_session
from spikecheck.store.spike_rows import find_spike, is_tag, make_spike, spike_of_tag
from spikecheck.store.spike_states import select_record, select_records
from spikecheck.store.tables import spikes
from spikecheck.vocabulary.audit_steps import AuditDecided
from spikecheck.vocabulary.entry import Step
from spikecheck.vocabulary.steps import Checked, Overridden, StepKind, Tagged, kind_of
from spikecheck.vocabulary.text import tidy_id, tidy_name, tidy_note
from spikecheck.vocabulary.words import step_words

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence
    from datetime import datetime

    from sqlalchemy import ColumnElement, Connection

    from spikecheck.store.database import Database
    from spikecheck.vocabulary.entry import Entry
    from spikecheck.vocabulary.spike_record import SpikeRecord

    Happened = tuple[str, int, Step]


class SpikeHistory:
    """The spikes of one store.

    Every method that names a cross raises :class:`~spikecheck.errors.UnknownCrossError` where
    there is none of that id.

    Parameters
    ----------
    database
        Where they are.
    """

    def __init__(self, database: Database) -> None:
        self._database = database

    def add(self, cross: str, spike: int, step: Step, *, by: str | None = None) -> SpikeRecord:
        """Record what happened to a spike, and return the spike as it stands then.

        The same as :meth:`add_all` for one spike.
        """
        return self.add_all([(cross, spike, step)], by=by)[0]

    def add_all(
        self, happened: Sequence[Happened], *, by: str | None = None
    ) -> tuple[SpikeRecord, ...]:
        """Record what happened to several spikes, all of it or nothing; return them as they stand.

        Parameters
        ----------
        happened
            Id of the cross, number of the spike (which may be new) and what happened, for each.
        by
            Who writes it down; None takes who did it.

        Raises
        ------
        StepError
            If it cannot have happened: in the future, or not in this order.
        TagError
            If it is a tag that belongs to another spike.
        UsageError
            If it is a check or an override, which are filed with their photos.
        StoreError
            If there is no such session.
        """
        steps = _tidy_all(happened)
        writer = None if by is None else tidy_name(by, what=_("the name of who records"))
        with self._database.writing() as connection, ChainWriter(connection) as chain:
            return _append_all(connection, chain, steps, writer=writer)

    def add_as_it_stands(
        self, choose: Callable[[AsItStands], Sequence[Happened]]
    ) -> tuple[SpikeRecord, ...]:
        """Record what follows from the records as they stand, nobody else writing in between.

        Errors as in :meth:`add_all`, and those of ``choose``, which leave everything as it was.

        Parameters
        ----------
        choose
            Looks, and returns what happened, or refuses. Meanwhile every other writer waits.

        Returns
        -------
        tuple of SpikeRecord
            The spikes as they stand then.
        """
        with self._database.writing() as connection, ChainWriter(connection) as chain:
            steps = _tidy_all(choose(AsItStands(connection, chain)))
            return _append_all(connection, chain, steps, writer=None)

    def correct(
        self, cross: str, spike: int, entry: int, step: Step | None, *, by: str, reason: str
    ) -> SpikeRecord:
        """Put ``step`` in the place of an entry, or take it back; the entry stays readable.

        Parameters
        ----------
        cross, spike
            The spike.
        entry
            Number of the entry.
        step
            What happened really, a step of the same kind, or None when nothing of it did.
        by
            Who corrects.
        reason
            Why; never empty.

        Raises
        ------
        StepError
            If there is no such entry to correct, or the history would be one that cannot be.
        UsageError
            If the step is of another kind, or a text cannot be kept.
        """
        writer = tidy_name(by, what=_("the name of who corrects"))
        why = tidy_note(reason, what=_("the reason of the correction"), required=True)
        tidy = None if step is None else _tidy_step(step)
        with self._database.writing() as connection, ChainWriter(connection) as chain:
            row = _spike(connection, cross, spike)
            wrong = may_be_corrected(select_entries(connection, row.id), entry)
            if tidy is not None:
                if wrong.step is None or type(wrong.step.detail) is not type(tidy.detail):
                    raise UsageError(
                        _("entry {entry} is {kind}").format(
                            entry=entry, kind=step_words(wrong.kind)
                        ),
                        cure=_("Take it back, and record the other step"),
                    )
                if tidy.session:
                    known_session(connection, tidy.session)
            return append_step(
                connection, chain, row, tidy, kind=wrong.kind, corrects=entry, reason=why, by=writer
            )

    def give_tags(
        self, cross: str, spikes_numbered: Iterable[int], *, new_code: Callable[[], str], by: str,
    ) -> tuple[SpikeRecord, ...]:  # fmt: skip
        """Return spikes with a tag each: those they have, or new ones.

        Parameters
        ----------
        cross
            Id of the cross.
        spikes_numbered
            Numbers of the spikes, which may be new.
        new_code
            Makes a code.
        by
            Who prints the tags.
        """
        writer = tidy_name(by, what=_("the name of who prints"))
        tagged = []
        with self._database.writing() as connection, ChainWriter(connection) as chain:
            for number in spikes_numbered:
                row = _spike(connection, cross, number)
                record = select_record(connection, row.id)
                if record is None or record.tag is None:
                    step = Step(Tagged(_free_code(connection, new_code)), chain.moment, writer)
                    record = append_step(
                        connection, chain, row, step, kind=StepKind.TAGGED, by=writer
                    )
                tagged.append(record)
        return tuple(tagged)

    def one(self, cross: str, spike: int) -> SpikeRecord:
        """Return a spike as it stands; StoreError if nothing is recorded of it."""
        with self._database.reading() as connection:
            return select_spike(connection, cross, spike)

    def entries(self, cross: str, spike: int) -> tuple[Entry, ...]:
        """Return the history of a spike, oldest first; empty where it was never named."""
        with self._database.reading() as connection:
            known = select_cross(connection, tidy_id(cross, what=_("the id of the cross")))
            row = find_spike(connection, known.id, spike)
            return () if row is None else select_entries(connection, row)

    def of_tag(self, code: str) -> tuple[str, int]:
        """Return cross and number of the spike that a tag belongs to; TagError if none has it."""
        with self._database.reading() as connection:
            return spike_of_tag(connection, code)

    def open(self) -> tuple[SpikeRecord, ...]:
        """Return every spike to which something is still to be done."""
        return self._selected(spike_states.c.is_open.is_(True))

    def in_session(self, session: str) -> tuple[SpikeRecord, ...]:
        """Return the spikes emasculated in a session."""
        return self._selected(spike_states.c.session_id == session)

    def audited(self) -> tuple[SpikeRecord, ...]:
        """Return every spike that was ever drawn for an audit."""
        return self._selected(spike_states.c.audit.is_not(None))

    def audit_entries(self, session: str) -> tuple[tuple[str, int, Entry], ...]:
        """Return cross, number and entry of all that audits did to the spikes of a session."""
        with self._database.reading() as connection:
            return tuple(select_audit_entries(connection, session))

    def redrawn_entries(self) -> tuple[tuple[str, int, Entry], ...]:
        """Return all that audits did to each spike that was drawn more than once, alike."""
        with self._database.reading() as connection:
            return tuple(select_redrawn_entries(connection))

    def of_cross(self, cross: str) -> tuple[SpikeRecord, ...]:
        """Return the spikes of a cross."""
        return self._selected(spikes.c.cross_id == tidy_id(cross, what=_("the id of the cross")))

    def all(self) -> Iterator[SpikeRecord]:
        """Yield every spike in the order of cross and number, a part in memory at a time."""
        with self._database.reading() as connection:
            yield from select_records(connection)

    def every_entry(self) -> Iterator[tuple[str, int, Entry]]:
        """Yield cross, number and entry of every spike, in the order of entry, a part at a time."""
        with self._database.reading() as connection:
            yield from select_every_entry(connection)

    def _selected(self, condition: ColumnElement[bool]) -> tuple[SpikeRecord, ...]:
        with self._database.reading() as connection:
            return tuple(select_records(connection, condition))


def known_moment(at: datetime) -> datetime:
    """Return a moment at which something may have happened.

    Raises
    ------
    UsageError
        If it has no time zone.
    StepError
        If it lies in the future.
    """
    if at.tzinfo is None:
        raise UsageError(
            _("has no time zone"), where=at.isoformat(), cure=_("Say which, such as +02:00")
        )
    if at > now():
        raise StepError(
            _("lies in the future"),
            where=day_and_time(at.astimezone()),
            cure=_("Give the moment at which it happened"),
        )
    return at


def _spike(connection: Connection, cross: str, number: int) -> SpikeRow:
    known = select_cross(connection, tidy_id(cross, what=_("the id of the cross")))
    return SpikeRow(make_spike(connection, known.id, number), known, number)


def _tidy_all(happened: Sequence[Happened]) -> list[Happened]:
    for _cross, _number, step in happened:
        _by_hand_only(step)
    return [
        (tidy_id(cross, what=_("the id of the cross")), spike, _tidy_step(step))
        for cross, spike, step in happened
    ]


def _append_all(
    connection: Connection, chain: ChainWriter, steps: Sequence[Happened], *, writer: str | None
) -> tuple[SpikeRecord, ...]:
    """Append tidy steps, each written by ``writer`` or else by who did it."""
    records = []
    for cross, spike, step in steps:
        row = _spike(connection, cross, spike)
        if step.session:
            known_session(connection, step.session)
        try:
            record = append_step(
                connection, chain, row, step, kind=kind_of(step.detail),
                by=step.by if writer is None else writer,
            )  # fmt: skip
        except (StepError, TagError) as error:
            raise _of_several(error, len(steps)) from error
        records.append(record)
    return tuple(records)


def _of_several(error: SpikecheckError, steps: int) -> SpikecheckError:
    """Return the error of one step, which says that of several none was recorded."""
    if steps == 1:
        return error
    return type(error)(
        error.what,
        where=error.where,
        cure=_("{cure}. None of the {steps} was recorded").format(cure=error.cure, steps=steps),
    )


def _free_code(connection: Connection, new_code: Callable[[], str]) -> str:
    while True:
        code = new_code()
        if not is_tag(connection, code):
            return code


def _by_hand_only(step: Step) -> None:
    if isinstance(step.detail, Checked | Overridden):
        raise UsageError(
            _("checks and overrides are filed with their photos"),
            cure=_("Check the photos and record"),
        )


_TEXTS = {
    "method": N_("the method"),
    "male": N_("the male"),
    "reason": N_("the reason"),
    "unchecked_reason": N_("the unchecked reason"),
    "other_male_reason": N_("the other male reason"),
}


def _tidy_step(step: Step) -> Step:
    texts = {
        name: tidy_name(value, what=_(_TEXTS[name])) if value.strip() or required else ""
        for name, required in (("method", False), ("male", True))
        if isinstance(value := getattr(step.detail, name, None), str)
    }
    # An audit's decision needs a reason only where it sends a spike back, and says so itself.
    confirmed = isinstance(step.detail, AuditDecided) and not step.detail.reason.strip()
    texts |= {
        name: tidy_note(value, what=_(_TEXTS[name]), required=name == "reason" and not confirmed)
        for name in ("reason", "unchecked_reason", "other_male_reason")
        if isinstance(value := getattr(step.detail, name, None), str)
    }
    return Step(
        # No type can say that these are the names of texts of just this kind of detail.
        detail=replace(step.detail, **texts),  # type: ignore[arg-type]
        at=known_moment(step.at),
        by=tidy_name(step.by, what=_("the name of who did it")),
        session=step.session.strip(),
        note=tidy_note(step.note, what=_("the note")),
    )
