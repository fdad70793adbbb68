"""Records what happened to spikes, with the rules that need the season's numbers, and remarks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from spikecheck.bookkeeping.season_of_store import season_of
from spikecheck.errors import StepError, StoreError
from spikecheck.history.replay import replay, steps_in_force
from spikecheck.language import _, day_and_time
from spikecheck.season.windows import anthers_expected
from spikecheck.vocabulary.entry import Step
from spikecheck.vocabulary.spike_record import SpikeRecord
from spikecheck.vocabulary.steps import Bagged, Emasculated, Pollinated, Selected
from spikecheck.vocabulary.words import crop_word

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from spikecheck.bookkeeping.season_of_store import SeasonOfStore
    from spikecheck.store import Store
    from spikecheck.thresholds.season import SeasonNumbers
    from spikecheck.vocabulary.steps import StepDetail

# What happened to a spike, said once for all of them or made for each as it stands.
DetailOf = Callable[[SpikeRecord], "StepDetail"]


@dataclass(frozen=True, slots=True)
class Recorded:
    """One spike after a step.

    Parameters
    ----------
    record
        The spike as it stands.
    remarks
        What to look at again; a sentence each.
    """

    record: SpikeRecord
    remarks: tuple[str, ...]


def record_steps(
    store: Store,
    spikes: Sequence[tuple[str, int]],
    detail_of: DetailOf,
    *,
    at: datetime,
    by: str,
    session: str = "",
    note: str = "",
    now: datetime,
) -> tuple[Recorded, ...]:
    """Record the same step of several spikes, all of it or nothing.

    Parameters
    ----------
    store
        Where to.
    spikes
        Id of the cross and number of each spike.
    detail_of
        Returns what happened to a spike, given the spike as it stood.
    at
        When it happened.
    by
        Who did it.
    session
        Id of the crossing session, or empty.
    note
        Free text, may be empty.
    now
        With time zone.

    Raises
    ------
    StepError
        If it cannot have happened, or the check before a bag holds no more.
    """
    season = season_of(store, now=now)
    happened = []
    for cross, number in spikes:
        before = as_it_stands(store, cross, number)
        detail = detail_of(before)
        if isinstance(detail, Bagged):
            _refuse_expired(season, _as_it_stood(store, before, at), detail, at)
        happened.append((cross, number, Step(detail, at=at, by=by, session=session, note=note)))
    records = store.spikes.add_all(happened)
    return tuple(
        Recorded(record, _remarks(season, record, step.detail))
        for record, (*_spike, step) in zip(records, happened, strict=True)
    )


def correct_step(
    store: Store,
    spike: tuple[str, int],
    entry: int,
    detail_of: DetailOf | None,
    *,
    at: datetime | None = None,
    by: str,
    session: str | None = None,
    note: str | None = None,
    reason: str,
) -> SpikeRecord:
    """Put something else in the place of an entry, or take it back.

    Parameters
    ----------
    store
        Where it is.
    spike
        Id of the cross and number of the spike.
    entry
        Number of the entry.
    detail_of
        Returns what happened really, or None to take the entry back.
    at, session, note
        What to set; None keeps what the entry says.
    by
        Who corrects; who did the step stays as it is.
    reason
        Why.

    Raises
    ------
    StepError
        If there is no such entry to correct, the history would be one that cannot be, or the check
        before a bag held no more.
    """
    cross, number = spike
    step = None
    if detail_of is not None:
        wrong = _entry_step(store, cross, number, entry)
        step = replace(
            wrong,
            detail=detail_of(as_it_stands(store, cross, number)),
            at=wrong.at if at is None else at,
            session=wrong.session if session is None else session,
            note=wrong.note if note is None else note,
        )
        if isinstance(step.detail, Bagged):
            stood = _as_it_stood(store, as_it_stands(store, cross, number), step.at)
            _refuse_expired(season_of(store, now=step.at), stood, step.detail, step.at)
    return store.spikes.correct(cross, number, entry, step, by=by, reason=reason)


def as_it_stands(store: Store, cross: str, number: int) -> SpikeRecord:
    """Return a spike as it stands, also one of which nothing is recorded yet.

    Raises
    ------
    UnknownCrossError
        If there is no such cross.
    """
    known = store.cross(cross)
    try:
        return store.spikes.one(known.id, number)
    except StoreError:
        return SpikeRecord(known.id, number, known.crop, known.female, known.male)


def _as_it_stood(store: Store, record: SpikeRecord, at: datetime) -> SpikeRecord:
    """Return a spike as it stood at a moment: a later check says nothing of an earlier bag."""
    entries = store.spikes.entries(record.cross, record.spike)
    places = {one.id: one.place for one in store.sessions.all()}
    start = SpikeRecord(record.cross, record.spike, record.crop, record.female, record.male)
    earlier = [step for step in steps_in_force(entries) if step.at <= at]
    return replay(start, earlier, places=places)


def _entry_step(store: Store, cross: str, number: int, entry: int) -> Step:
    for one in store.spikes.entries(cross, number):
        if one.number == entry and one.step is not None:
            return one.step
    raise StepError(
        _("spike {cross}/{number} has no entry {entry} to correct").format(
            cross=cross, number=number, entry=entry
        ),
        cure=_("Look its number up with spikecheck spike show"),
    )


def _refuse_expired(
    season: SeasonOfStore, record: SpikeRecord, detail: Bagged, at: datetime
) -> None:  # fmt: skip
    until = season.check_expired(record, at)
    if until is None or detail.unchecked_reason:
        return
    told = (
        _(
            "the check of {checked_at}, with an anther near anthesis seen held until {until}: it "
            "cannot be bagged on it at {at}"
        )
        if record.near_anthesis
        else _("the check of {checked_at} held until {until}: it cannot be bagged on it at {at}")
    )
    raise StepError(
        told.format(
            checked_at=_told(record.checked_at, season),
            until=until.words(season.zone),
            at=_told(at, season),
        ),
        where=_("spike {cross}/{spike}").format(cross=record.cross, spike=record.spike),
        cure=_(
            "Check it again, or give the reason why not: on the page of the spike, in "
            "a command --unchecked"
        ),
    )


def _remarks(
    season: SeasonOfStore, record: SpikeRecord, detail: StepDetail
) -> tuple[str, ...]:  # fmt: skip
    remark = ""
    if isinstance(detail, Selected):
        remark = _stage_remark(detail.growth_stage, season.numbers(record.crop))
    elif isinstance(detail, Emasculated):
        expected = anthers_expected(detail.florets, season.numbers(record.crop))
        remark = _anther_remark(detail, expected)
    elif isinstance(detail, Pollinated) and detail.male != record.male:
        remark = _("The male is {male}, planned was {planned}.").format(
            male=detail.male, planned=record.male
        )
    return (remark,) if remark else ()


def _stage_remark(stage: int | None, numbers: SeasonNumbers) -> str:
    if stage is None or numbers.stage_least <= stage <= numbers.stage_most:
        return ""
    return _(
        "Growth stage {stage} is outside of {least} to {most}, at which spikes of {crop} are "
        "chosen."
    ).format(
        stage=stage,
        least=f"{numbers.stage_least:g}",
        most=f"{numbers.stage_most:g}",
        crop=crop_word(numbers.crop),
    )


def _anther_remark(detail: Emasculated, expected: int) -> str:
    if detail.anthers < expected:
        return _(
            "{missing} of {expected} anthers are not accounted for: look for them before bagging."
        ).format(missing=expected - detail.anthers, expected=expected)
    if detail.anthers > expected:
        return _(
            "{florets} florets hold {expected} anthers, {anthers} were counted: count the florets "
            "again."
        ).format(florets=detail.florets, expected=expected, anthers=detail.anthers)
    return ""


def _told(moment: datetime | None, season: SeasonOfStore) -> str:
    return "" if moment is None else day_and_time(moment.astimezone(season.zone))
