"""Crossing sessions: who went where on which day."""

from __future__ import annotations

from collections import defaultdict
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import streamlit as st

import resources
from once import record_once
from reader import date_format
from spikecheck.access import Action
from spikecheck.bookkeeping.local_time import local_day, local_zone
from spikecheck.errors import SpikecheckError
from spikecheck.language import _, isolated, weekday
from spikecheck.vocabulary import CrossingSession
from visit import Picked, Step, current_visit
from who import require_here
from widgets.cover import is_covered
from widgets.plain import Tone, faint, notice, show_problems, strong
from widgets.report_offer import offer_report

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from spikecheck.vocabulary import SpikeRecord

_FIELDS = {name: f"new-session-{name}" for name in ("id", "day", "place", "people", "note")}
_SHOWN = "shown-sessions"
_MORE = 20


def show() -> None:
    """Show a form for one more session, and all there are, the latest first."""
    require_here(Action.SEE_RECORDS)
    st.header(_("Crossing sessions"))
    try:
        sessions = resources.store().sessions.all()
        covered = _covered()
        today = local_day(datetime.now(UTC), local_zone())
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)
        return
    if not sessions:
        notice(
            _(
                "No session is recorded yet. A session is one outing to cross: a day, a "
                "place, people. The agenda looks up temperatures by its place."
            ),
            tone=Tone.HINT,
        )
    with (
        st.expander(_("Add a session"), expanded=not sessions, key=f"add-session-{len(sessions)}"),
        st.form("new-session", border=False),
    ):
        st.text_input(_("Id of the session, your own"), key=_FIELDS["id"])
        st.date_input(_("Day"), value=today, key=_FIELDS["day"], format=date_format())
        st.text_input(_("Place, as temperatures are recorded by it"), key=_FIELDS["place"])
        st.text_area(_("People, one a line"), key=_FIELDS["people"], height=100)
        st.text_input(_("Note (may stay empty)"), key=_FIELDS["note"])
        st.form_submit_button(
            _("Add this session"),
            type="primary",
            on_click=_add,
            args=(current_visit().recordings,),
            width="stretch",
        )
    show_problems(current_visit().problems[Step.SESSION])
    _show_sessions(sessions, covered)


def _covered() -> Mapping[str, Sequence[SpikeRecord]]:
    """Return the spikes whose first reading is covered, by session."""
    found = defaultdict(list)
    for record in resources.store().spikes.audited():
        if is_covered(record):
            found[record.session].append(record)
    return found


def _show_sessions(
    sessions: Sequence[CrossingSession], covered: Mapping[str, Sequence[SpikeRecord]]
) -> None:  # fmt: skip
    shown = st.session_state.get(_SHOWN, _MORE)
    for session in sessions[:shown]:
        with st.container(border=True, gap="xsmall"):
            strong(session.id)
            told = [
                weekday(session.day), isolated(session.place),
                ", ".join(map(isolated, session.people)),
            ]  # fmt: skip
            st.text(" · ".join(part for part in told if part))
            if session.note:
                faint(isolated(session.note))
            _lead_to_spikes(session.id)
            offer_report(session.id, covered.get(session.id, ()))
    if len(sessions) > shown:
        st.button(
            _("Show older sessions ({n} more)").format(n=len(sessions) - shown),
            on_click=_show_more,
            args=(shown,),
            width="stretch",
        )


def _lead_to_spikes(session: str) -> None:
    if not st.button(_("Show its spikes"), key=f"spikes-of-{session}", width="stretch"):
        return
    try:
        spikes = resources.store().spikes.in_session(session)
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)
        return
    if not spikes:
        notice(_("No spike was emasculated in it."), tone=Tone.HINT)
        return
    names = tuple((record.cross, record.spike) for record in spikes)
    current_visit().pick(Picked(_("Session {session}").format(session=session), names))
    st.switch_page("screens/spikes.py")


def _add(recordings: int) -> None:
    """Add the session that was typed; keep what was typed if it is refused."""
    require_here(Action.PLAN)
    visit, typed = current_visit(), {name: st.session_state[key] for name, key in _FIELDS.items()}
    people = tuple(filter(None, map(str.strip, typed["people"].splitlines())))

    def work() -> None:
        added = resources.store().sessions.add(
            CrossingSession(typed["id"], typed["day"], typed["place"], people, typed["note"])
        )
        visit.session = added.id
        for name in ("id", "place", "people", "note"):
            st.session_state[_FIELDS[name]] = ""

    record_once(recordings, Step.SESSION, work)


def _show_more(shown: int) -> None:
    require_here(Action.SEE_RECORDS)
    st.session_state[_SHOWN] = shown + _MORE


show()
