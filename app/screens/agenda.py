"""What is to be done next with every spike: overdue, today, this week, later."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.access import Action
from spikecheck.bookkeeping.season_of_store import season_of
from spikecheck.errors import SpikecheckError
from spikecheck.language import N_, _, ngettext
from spikecheck.season.agenda import TaskState, grouped
from who import require_here
from widgets.agenda_groups import offer_calendar, show_groups
from widgets.plain import Tone, notice

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.season.agenda import TaskGroup

_HEADINGS = {
    TaskState.OVERDUE: N_("Overdue"),
    TaskState.TODAY: N_("Today"),
    TaskState.THIS_WEEK: N_("This week"),
    TaskState.LATER: N_("Later"),
}


def show() -> None:
    """Show the groups of tasks, the most urgent first."""
    require_here(Action.SEE_RECORDS)
    st.header(_("Agenda"))
    try:
        store, now = resources.store(), datetime.now(UTC)
        tasks = season_of(store, now=now).agenda()
        begun = bool(tasks) or bool(store.crosses())
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)
        return
    if not tasks:
        _begin(begun=begun)
        return
    groups = grouped(tasks)
    waiting = {state: [one for one in groups if one.state is state] for state in TaskState}
    told = {
        state: f"{_(heading)} · {_count(waiting[state])}"
        for state, heading in _HEADINGS.items()
        if waiting[state]
    }
    if set(told) == {TaskState.LATER}:
        notice(_("Nothing is to be done this week."), tone=Tone.DONE)
    for state, words in told.items():
        if state is TaskState.LATER:
            with st.expander(words):
                show_groups(waiting[state], key=state)
        else:
            st.subheader(words)
            show_groups(waiting[state], key=state)
    offer_calendar(store, groups)


def _count(groups: Sequence[TaskGroup]) -> str:
    spikes = sum(len(group.tasks) for group in groups)
    grouped_by_three = f"{spikes:,}".replace(",", "\N{THIN SPACE}")
    return ngettext("{n} spike", "{n} spikes", spikes).format(n=grouped_by_three)


def _begin(*, begun: bool) -> None:
    if not begun:
        notice(
            _(
                "No cross is recorded yet. Add the first on the Check screen; then record "
                "on the Spikes screen which spikes you select or emasculate. Each of them "
                "is told here with its next step and its time."
            ),
            tone=Tone.HINT,
        )
        st.page_link("screens/check.py", label=_("Go to Check and add a cross"))
        return
    notice(
        _(
            "No spike waits for anything. Record on the Spikes screen which spikes you "
            "select or emasculate: each is told here with its next step and its time."
        ),
        tone=Tone.HINT,
    )
    st.page_link("screens/spikes.py", label=_("Go to Spikes and record a step"))


show()
