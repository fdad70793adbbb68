"""What is to be done next with every spike: overdue, today, this week, later."""

from __future__ import annotations

from datetime import UTC, datetime

import streamlit as st

import resources
from spikecheck.bookkeeping.season_of_store import season_of
from spikecheck.errors import SpikecheckError
from spikecheck.season.agenda import TaskState, grouped
from widgets.agenda_groups import offer_calendar, show_groups
from widgets.plain import Tone, notice

_HEADINGS = {
    TaskState.OVERDUE: "Overdue",
    TaskState.TODAY: "Today",
    TaskState.THIS_WEEK: "This week",
    TaskState.LATER: "Later",
}


def show() -> None:
    """Show the groups of tasks, the most urgent first."""
    st.header("Agenda")
    try:
        store, now = resources.store(), datetime.now(UTC)
        groups = grouped(season_of(store, now=now).agenda())
        begun = bool(groups) or bool(store.crosses())
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)
        return
    if not groups:
        _begin(begun=begun)
        return
    pressing = [group for group in groups if group.state is not TaskState.LATER]
    if not pressing:
        notice("Nothing is to be done this week.", tone=Tone.DONE)
    for state, heading in _HEADINGS.items():
        several = [group for group in groups if group.state is state]
        if not several:
            continue
        spikes = sum(len(group.tasks) for group in several)
        told = f"{heading} · {spikes} {'spike' if spikes == 1 else 'spikes'}"
        if state is TaskState.LATER:
            with st.expander(told):
                show_groups(several, key=state)
        else:
            st.subheader(told)
            show_groups(several, key=state)
    offer_calendar(store, groups)


def _begin(*, begun: bool) -> None:
    if not begun:
        notice(
            "No cross is recorded yet. Add the first on the Check screen; then record on the "
            "Spikes screen which spikes you select or emasculate. Each of them is told here with "
            "its next step and its time.",
            tone=Tone.HINT,
        )
        st.page_link("screens/check.py", label="Go to Check and add a cross")
        return
    notice(
        "No spike waits for anything. Record on the Spikes screen which spikes you select or "
        "emasculate: each is told here with its next step and its time.",
        tone=Tone.HINT,
    )
    st.page_link("screens/spikes.py", label="Go to Spikes and record a step")


show()
