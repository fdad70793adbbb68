"""Finds spikes: by name or tag, by session and cross, or as they were picked together."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.access import Action
from spikecheck.bookkeeping.spike_names import spike_named
from spikecheck.errors import SpikecheckError
from spikecheck.language import _, ngettext
from visit import Step, current_visit, remember
from who import require_here
from widgets.names import cross_name, session_name
from widgets.plain import Tone, heading, notice, show_problems
from widgets.several_steps import show_several_steps
from widgets.spike_rows import show_rows

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.store import Store
    from spikecheck.vocabulary import SpikeRecord
    from visit import Picked

_NAME = "spike-name"


def show_spike_list(store: Store) -> None:
    """Show the ways to a spike, and the list they lead to.

    Raises
    ------
    SpikecheckError
        If the records cannot be read.
    """
    visit = current_visit()
    picked = visit.picked
    if picked is not None:
        _show_picked(store, picked)
        return
    st.header(_("Spikes"))
    with st.form("find-spike", border=False):
        st.text_input(
            _("Cross and number, or the code of a tag"),
            key=_NAME,
            placeholder=_("{spike} or {tag}").format(spike="C-014/3", tag="K7Q2 9XMT"),
        )
        st.form_submit_button(_("Open this spike"), on_click=_find, type="primary", width="stretch")
    show_problems(visit.problems[Step.FIND])
    found = _chosen(store)
    _show_records(store, found, key=f"{visit.list_session}-{visit.list_cross}")


def _find() -> None:
    require_here(Action.SEE_RECORDS)
    visit = current_visit()
    visit.forget_outcome()
    try:
        visit.open_spike(spike_named(resources.store(), str(st.session_state[_NAME])))
    except SpikecheckError as error:
        visit.problems[Step.FIND].append(str(error))


def _show_picked(store: Store, picked: Picked) -> None:
    st.button(_("Choose other spikes"), on_click=_drop_picked, width="stretch")
    heading(picked.title)
    wanted = set(picked.spikes)
    crosses = dict.fromkeys(cross for cross, _number in picked.spikes)
    records = [
        record
        for cross in crosses
        for record in store.spikes.of_cross(cross)
        if (record.cross, record.spike) in wanted
    ]
    show_several_steps(store, records)
    _show_records(store, records, key=picked.title)


def _drop_picked() -> None:
    require_here(Action.SEE_RECORDS)
    visit = current_visit()
    visit.picked = None
    visit.forget_outcome()


def _chosen(store: Store) -> Sequence[SpikeRecord]:
    visit = current_visit()
    sessions = {one.id: session_name(one)
                for one in store.sessions.all()}  # fmt: skip
    crosses = {one.cross.id: cross_name(one.cross)
               for one in reversed(store.crosses())}  # fmt: skip
    visit.list_session = st.selectbox(
        _("Emasculated in session"),
        list(sessions),
        format_func=lambda one: sessions.get(one, one),
        key=remember("list-session", visit.list_session),
        index=None,
        placeholder=_("Any session"),
    )
    visit.list_cross = st.selectbox(
        _("Of cross"),
        list(crosses),
        format_func=lambda one: crosses.get(one, one),
        key=remember("list-cross", visit.list_cross),
        index=None,
        placeholder=_("Any cross"),
    )
    session, cross = visit.list_session, visit.list_cross
    if session is not None:
        found = store.spikes.in_session(session)
        return found if cross is None else [one for one in found if one.cross == cross]
    if cross is not None:
        return store.spikes.of_cross(cross)
    waiting = store.spikes.open()
    if waiting:
        st.caption(
            ngettext(
                "{n} still waits for something", "{n} still wait for something", len(waiting)
            ).format(n=len(waiting))
        )
    return waiting


def _show_records(store: Store, records: Sequence[SpikeRecord], *, key: str) -> None:
    if records:
        show_rows(store, records, key=key)
        return
    notice(
        _("No spike is listed here. To begin one, type its cross and number above and open it."),
        tone=Tone.HINT,
    )
