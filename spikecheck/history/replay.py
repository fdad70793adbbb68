"""What the entries of a spike add up to, corrections taken into account."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.errors import StepError
from spikecheck.history.rules import after
from spikecheck.language import _, day
from spikecheck.vocabulary.steps import AUDIT_KINDS, Checked, Overridden, StepKind, kind_of
from spikecheck.vocabulary.words import step_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import datetime

    from spikecheck.vocabulary.entry import Entry, Step
    from spikecheck.vocabulary.spike_record import SpikeRecord

_ORDER = {kind: place for place, kind in enumerate(StepKind)}


def steps_in_force(entries: Sequence[Entry]) -> tuple[Step, ...]:
    """Return the steps that count, in the order in which they happened.

    A correction takes the place of the entry that it names; an entry that only takes another one
    back leaves nothing. Steps of the same moment come in the order of a spike's way.

    Parameters
    ----------
    entries
        All entries of one spike, in the order of their numbers.
    """
    gone = {entry.corrects for entry in entries if entry.corrects is not None}
    kept = [(entry.step, entry.number) for entry in entries if entry.number not in gone]
    standing = [(step, number) for step, number in kept if step is not None]
    standing.sort(key=lambda one: (one[0].at, _ORDER[kind_of(one[0].detail)], one[1]))
    return tuple(step for step, _ in standing)


def may_be_corrected(entries: Iterable[Entry], number: int) -> Entry:
    """Return the entry of this number, if it still stands and may be corrected by hand.

    Raises
    ------
    StepError
        If there is none on this spike, it was corrected already (the newer one is named), only
        takes another back, is a check, which stands by its photos, or belongs to an audit.
    """
    found = None
    for entry in entries:
        if entry.corrects == number:
            raise StepError(
                _("entry {number} was corrected by entry {entry_number} already").format(
                    number=number, entry_number=entry.number
                ),
                cure=_("Correct entry {number} instead").format(number=entry.number),
            )
        if entry.number == number:
            found = entry
    if found is None:
        raise StepError(
            _("the spike has no entry {number}").format(number=number),
            cure=_("Look its number up in the spike's history"),
        )
    if found.step is None:
        raise StepError(
            _("entry {number} only takes another one back").format(number=number),
            cure=_("Record the step again instead"),
        )
    if found.kind in AUDIT_KINDS:
        raise StepError(
            _("entry {number} belongs to an audit, which stays as it is").format(number=number),
            cure=_("Decide about the spike again"),
        )
    if found.kind in {StepKind.CHECKED, StepKind.OVERRIDDEN}:
        raise StepError(
            _("entry {number} is a check or an override, which stay as they are").format(
                number=number
            ),
            cure=_("Check again, or override the verdict"),
        )
    return found


def moment_of_override(
    entries: Iterable[Entry], check: int, *, at: datetime | None, now: datetime
) -> datetime:
    """Return the moment at which a check is overridden, if it may be.

    What was written last about a check must also have happened last: else its overrides would say
    one thing in the order of writing and another in the order of time.

    Parameters
    ----------
    entries
        All entries of the spike.
    check
        Number of the check.
    at
        When it was decided, or None for now.
    now
        The moment of writing. A clock that was set back may show it before the check was made:
        then the override is of the moment that it follows.

    Raises
    ------
    StepError
        If that was before the check was made, or before an earlier override of it.
    """
    last: Step | None = None
    for entry in entries:
        step = entry.step
        if (
            step is not None
            and isinstance(step.detail, Checked | Overridden)
            and step.detail.check == check
            and (last is None or step.at >= last.at)
        ):
            last = step
    if at is None:
        return now if last is None else max(now, last.at)
    if last is not None and at < last.at:
        raise StepError(
            _("cannot be overridden at {at}: it was {words} at {earlier}").format(
                at=_second(at), words=step_words(kind_of(last.detail)), earlier=_second(last.at)
            ),
            where=_("check {check}").format(check=check),
            cure=_("Give that moment or a later one, or none for now"),
        )
    return at


def _second(moment: datetime) -> str:
    local = moment.astimezone()
    return f"{day(local)} {local:%H:%M:%S}"


def replay(
    start: SpikeRecord, steps: Iterable[Step], *, places: Mapping[str, str]
) -> SpikeRecord:  # fmt: skip
    """Return the spike as ``steps`` leave it.

    Parameters
    ----------
    start
        The spike before anything happened.
    steps
        In the order in which they happened.
    places
        Place of each crossing session by its id.

    Raises
    ------
    StepError
        If they cannot have happened in this order.
    """
    record = start
    for step in steps:
        record = after(record, step, place=places.get(step.session, ""))
    return record
