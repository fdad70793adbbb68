"""Keeps the check of a visit on disk, and finds it again after a reload or a restart.

The address of the tab carries the draft's opaque id, or the number of the check once it is
recorded. Either is of use to the owner alone.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.access import Action
from spikecheck.bench_check import draft_of_check, draft_on_disk
from spikecheck.errors import SpikecheckError
from visit import Step, current_visit
from who import current_person, require_here
from widgets.cover import is_covered

if TYPE_CHECKING:
    from spikecheck.store import RecordedCheck
    from spikecheck.store.drafts import CheckDraft

_DRAFT, _CHECK = "draft", "check"
_NUMBER = re.compile(r"[1-9][0-9]{0,8}")  # no more than a database takes: anybody can type it


def keep() -> None:
    """Keep photos and choices of this visit; what goes wrong is told beside the photos."""
    visit, draft = current_visit(), current_visit().draft
    if draft.recorded is not None:
        return
    store, began = resources.store(), draft.kept is None
    try:
        draft.keep(
            store, owner=owner(), by=current_person().name, cross=visit.cross, spike=visit.spike
        )
        if began:
            store.drafts.sweep(now=datetime.now(UTC))
    except SpikecheckError as error:
        visit.problems[Step.PHOTOS].append(str(error))
    tell_address()


def tell_address() -> None:
    """Let the address of the tab name the check of this visit."""
    draft = current_visit().draft
    told = {
        _DRAFT: draft.kept.id if draft.kept is not None and draft.recorded is None else None,
        _CHECK: None if draft.recorded is None else str(draft.recorded.id),
    }
    for name, value in told.items():
        if value is not None:
            st.query_params[name] = value
        elif name in st.query_params:
            del st.query_params[name]


def go_on() -> None:
    """Take up what the address names, once a visit; what is not this person's is passed over.

    Raises
    ------
    StoreError
        If the records cannot be read.
    """
    visit = current_visit()
    if visit.taken_up:
        return
    visit.taken_up = True
    if visit.draft.photos or visit.chosen:
        return  # the visit began elsewhere: it knows better than an old address
    if id_ := st.query_params.get(_DRAFT):
        kept = resources.store().drafts.find(id_, owner=owner())
        if kept is not None:
            _take_up(kept)
    elif _NUMBER.fullmatch(number := st.query_params.get(_CHECK, "")):
        _take_up_check(int(number))


def unfinished() -> tuple[CheckDraft, ...]:
    """Return this person's checks that are begun and not recorded, but for the one at hand."""
    at_hand = current_visit().draft.kept
    drafts = resources.store().drafts.of(owner())
    return tuple(one for one in drafts if at_hand is None or one.id != at_hand.id)


def take_up(id_: str) -> None:
    """Go on with one of this person's checks."""
    require_here(Action.CHECK)
    kept = resources.store().drafts.find(id_, owner=owner())
    if kept is not None:
        _take_up(kept)
        tell_address()


def leave_out(id_: str) -> None:
    """Remove one of this person's checks that was not recorded."""
    require_here(Action.CHECK)
    drafts = resources.store().drafts
    if drafts.find(id_, owner=owner()) is not None:
        drafts.remove(id_)


def begin(spike: int) -> None:
    """Begin with ``spike`` of the same cross; what was taken and not recorded is left out."""
    require_here(Action.CHECK)
    visit = current_visit()
    if visit.draft.kept is not None and visit.draft.recorded is None:
        leave_out(visit.draft.kept.id)
    visit.begin(spike)
    st.session_state["spike"] = spike
    keep()


def owner() -> str:
    """Return whose drafts are at hand: where nobody signs in, those of whoever sits here."""
    person = current_person()
    return person.name if person.signed_in else ""


def _take_up(kept: CheckDraft) -> None:
    visit, store = current_visit(), resources.store()
    visit.draft = draft_on_disk(store, kept, thresholds=resources.thresholds())
    visit.problems.clear()
    visit.round += 1
    visit.by, visit.cross, visit.spike = kept.by or visit.by, kept.cross, kept.spike
    if visit.draft.recorded is not None:
        visit.cross, visit.spike = visit.draft.recorded.cross, visit.draft.recorded.spike
    _show_choices()


def _take_up_check(number: int) -> None:
    visit, store = current_visit(), resources.store()
    try:
        check: RecordedCheck = store.check(number)
        person = current_person()
        if person.signed_in and check.by != person.name:
            return
        if is_covered(store.spikes.one(check.cross, check.spike)):
            return  # it waits for a second reading, and whoever is here may be its reader
        visit.draft = draft_of_check(store, check, thresholds=resources.thresholds())
    except SpikecheckError:
        return  # no such check, or a photo of it is gone: the page begins empty
    visit.cross, visit.spike, visit.by = check.cross, check.spike, visit.by or check.by
    _show_choices()


def _show_choices() -> None:
    """Let the inputs show what the visit knows when they are drawn next."""
    visit = current_visit()
    st.session_state["cross"], st.session_state["spike"] = visit.cross, visit.spike
    st.session_state["by"] = visit.by
