"""The history of a spike, and a form to take an entry of it back."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from once import record_once
from spikecheck.access import Action
from spikecheck.bookkeeping.entries_seen import (
    by_time,
    entries_to_take_back,
    happened_at,
    replaced_entries,
)
from spikecheck.bookkeeping.entry_text import entry_words
from spikecheck.bookkeeping.recording import correct_step
from spikecheck.language import _, day_and_time, isolated
from visit import Step, current_visit
from who import require_here
from widgets.by import ask_name, name_given
from widgets.plain import faint, show_problems

if TYPE_CHECKING:
    from collections.abc import Sequence
    from zoneinfo import ZoneInfo

    from spikecheck.store import Store
    from spikecheck.vocabulary import Entry
    from visit import SpikeName


def show_history(store: Store, spike: SpikeName, *, zone: ZoneInfo) -> None:
    """Show all entries in the order of time, and the form to take one back."""
    entries = store.spikes.entries(*spike)
    if not entries:
        return
    st.subheader(_("History"))
    replaced = replaced_entries(entries)
    with st.container(border=True, gap="xsmall"):
        for entry in by_time(entries):
            became = replaced.get(entry.number)
            told = " · ".join(filter(None, (_when_and_who(entry, zone), became)))
            faint(_("Entry {number} · {told}").format(number=entry.number, told=told))
            st.text(entry_words(entry))
    _offer_to_take_back(spike, entries_to_take_back(entries))


def _offer_to_take_back(spike: SpikeName, entries: Sequence[Entry]) -> None:
    visit = current_visit()
    if not entries:
        return
    token = f"{spike[0]}/{spike[1]}-{entries[0].number}-{len(entries)}"
    told = {
        one.number: _("Entry {number}: {told}").format(number=one.number, told=entry_words(one))
        for one in entries
    }
    with (
        st.expander(_("Take an entry back"), key=f"take-back-{token}"),
        st.form("take-back", border=False),
    ):
        st.selectbox(
            _("Which one"), list(told), format_func=told.__getitem__, key=f"back-entry-{token}"
        )
        st.text_area(
            _("Why; the entry stays readable, with this reason"),
            key=f"back-reason-{token}",
            max_chars=1000,
        )
        ask_name(_("Your name"), key=f"back-by-{token}")
        st.form_submit_button(
            _("Take it back"),
            on_click=_take_back,
            args=(spike, token, visit.recordings),
            width="stretch",
        )
    show_problems(visit.problems[Step.TAKE_BACK])


def _take_back(spike: SpikeName, token: str, recordings: int) -> None:
    require_here(Action.RECORD)
    visit, typed = current_visit(), st.session_state
    number, by = int(typed[f"back-entry-{token}"]), name_given(f"back-by-{token}")
    reason = str(typed[f"back-reason-{token}"])

    def work() -> None:
        correct_step(resources.store(), spike, number, None, by=by, reason=reason)
        visit.by = by
        visit.done = (_("Entry {number} is taken back.").format(number=number),)

    record_once(recordings, Step.TAKE_BACK, work)


def _when_and_who(entry: Entry, zone: ZoneInfo) -> str:
    by = entry.recorded_by if entry.step is None else entry.step.by
    return f"{day_and_time(happened_at(entry).astimezone(zone))}, {isolated(by)}"
