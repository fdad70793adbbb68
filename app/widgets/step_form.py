"""The form that records a step of one spike or of several, and what came of it."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

import streamlit as st

import resources
from once import record_once
from reader import date_format
from spikecheck.access import Action
from spikecheck.bookkeeping.entries_seen import latest_of, refuse_recorded_since
from spikecheck.bookkeeping.local_time import read_moment
from spikecheck.bookkeeping.next_steps import steps_to_offer
from spikecheck.bookkeeping.recording import record_steps
from spikecheck.bookkeeping.season_of_store import season_of
from spikecheck.bookkeeping.standing import standing_line
from spikecheck.errors import UsageError
from spikecheck.language import _
from spikecheck.vocabulary.words import step_words
from visit import Step, current_visit, remember
from who import require_here
from widgets.by import ask_name, name_given
from widgets.names import session_name
from widgets.plain import Tone, notice, show_problems
from widgets.step_fields import read_detail, show_fields

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from spikecheck.bookkeeping.season_of_store import SeasonOfStore
    from spikecheck.store import Store
    from spikecheck.vocabulary import StepKind
    from visit import SpikeName

_NO_SESSION = ""


def season_now(store: Store) -> SeasonOfStore:
    """Return the season of the store as it is now."""
    return season_of(store, now=datetime.now(UTC))


def show_outcome() -> None:
    """Show what was recorded last, and what to look at again."""
    visit = current_visit()
    for line in visit.done:
        notice(line, tone=Tone.DONE)
    for remark in visit.remarks:
        notice(_("Look again: {remark}").format(remark=remark), tone=Tone.PROBLEM)


def show_step_form(
    store: Store, spikes: Sequence[SpikeName], *, coming: StepKind | None
) -> None:  # fmt: skip
    """Show the form.

    Parameters
    ----------
    store
        Where the history is read.
    spikes
        The spikes that the step happened to, one or more.
    coming
        The step that comes next on all of them, or None.
    """
    visit = current_visit()
    token = f"{visit.recordings}-{spikes[0][0]}/{spikes[0][1]}{'+' if len(spikes) > 1 else ''}"
    offered = steps_to_offer(coming)
    kind = st.selectbox(
        _("What happened"),
        offered,
        index=0 if coming in offered else None,
        format_func=lambda one: step_words(one).capitalize(),
        key=f"kind-{token}-{coming}",
        placeholder=_("Choose the step"),
    )
    if kind is not None:
        earlier = st.toggle(_("It happened earlier"), key=f"earlier-{token}")
        seen = {one: latest_of(store.spikes.entries(*one), kind) for one in spikes}
        with st.form(f"step-{token}-{kind}", border=False):
            if earlier:
                _ask_when(season_now(store), key=f"at-{token}")
            show_fields(kind, key=f"{token}-{kind}")
            _ask_circumstances(store, token)
            st.form_submit_button(
                _("Record this step"),
                type="primary",
                on_click=_record,
                args=(kind, seen, token, visit.recordings),
                width="stretch",
            )
    show_problems(visit.problems[Step.ENTRY])


def _ask_when(season: SeasonOfStore, *, key: str) -> None:
    local = season.now.astimezone(season.zone).replace(tzinfo=None, second=0, microsecond=0)
    st.datetime_input(_("When"), None, key=remember(key, local), format=date_format(), step=300)


def _ask_circumstances(store: Store, token: str) -> None:
    visit = current_visit()
    ask_name(_("Who did it"), key=f"by-{token}")
    sessions = {one.id: session_name(one) for one in store.sessions.all()}
    known = visit.session if visit.session in sessions else _NO_SESSION
    if sessions:
        st.selectbox(
            _("Session"),
            [_NO_SESSION, *sessions],
            format_func=lambda one: sessions.get(one, _("None")),
            key=remember(f"session-{token}", known),
            placeholder=_("None"),  # Streamlit's own is English on every page
        )
    st.text_input(_("Note (may stay empty)"), key=f"note-{token}")


def _record(kind: StepKind, seen: Mapping[SpikeName, int], token: str, recordings: int) -> None:
    """Record the step that was filled in; keep what was typed if it is refused."""
    require_here(Action.RECORD)
    visit, typed = current_visit(), st.session_state
    by, session = name_given(f"by-{token}"), str(typed.get(f"session-{token}", _NO_SESSION))
    note, earlier = str(typed[f"note-{token}"]), bool(typed[f"earlier-{token}"])

    def work() -> None:
        store = resources.store()
        season = season_now(store)
        at = _typed_moment(f"at-{token}") if earlier else None
        for spike, number in seen.items():
            refuse_recorded_since(
                store.spikes.entries(*spike),
                kind,
                seen=number,
                where=_("spike {cross}/{spike}").format(cross=spike[0], spike=spike[1]),
                zone=season.zone,
            )
        recorded = record_steps(
            store, list(seen), read_detail(kind, key=f"{token}-{kind}", season=season),
            at=read_moment(at, now=season.now, zone=season.zone), by=by, session=session,
            note=note, now=season.now,
        )  # fmt: skip
        visit.by, visit.session = by, session
        visit.done = tuple(
            _("Recorded. {standing}").format(standing=standing_line(one.record, season.zone))
            for one in recorded
        )
        visit.remarks = tuple(dict.fromkeys(remark for one in recorded for remark in one.remarks))

    record_once(recordings, Step.ENTRY, work)


def _typed_moment(key: str) -> str:
    moment: datetime | None = st.session_state[key]
    if moment is None:
        raise UsageError(
            _("no moment is given"), cure=_("Say when, or that it did not happen earlier")
        )
    return f"{moment:%Y-%m-%d %H:%M}"
