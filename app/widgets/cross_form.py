"""Chooses the cross, or adds one."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.access import Action
from spikecheck.errors import SpikecheckError
from spikecheck.language import _
from spikecheck.vocabulary.plan import PlannedCross, PlannedParent
from visit import current_visit
from who import allowed, require_here
from widgets.names import cross_name
from widgets.plain import Tone, notice

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from spikecheck.store import CrossSummary

_FIELDS = {"id": "new-id", "female": "new-female", "male": "new-male", "note": "new-note"}
_PROBLEM = "new-problem"


def choose_cross(summaries: Sequence[CrossSummary], *, on_change: Callable[[], None]) -> None:
    """Show the crosses to choose from and a form for one more.

    Parameters
    ----------
    summaries
        Every cross.
    on_change
        Called when a person has chosen one.
    """
    visit = current_visit()
    names = {one.cross.id: cross_name(one.cross)
             for one in summaries}  # fmt: skip
    if names:
        if st.session_state.get("cross") not in names:
            st.session_state["cross"] = visit.cross if visit.cross in names else None
        visit.cross = st.selectbox(
            _("Cross (female / male)"),
            list(names),
            format_func=names.__getitem__,
            key="cross",
            placeholder=_("Choose the cross"),
            on_change=on_change,
        )
    if not allowed(Action.PLAN):
        return
    with st.popover(_("Add a cross"), width="stretch"), st.form("new-cross", border=False):
        st.text_input(_("Id of the cross, as on the tag"), key=_FIELDS["id"])
        st.text_input(_("Female parent (the emasculated one)"), key=_FIELDS["female"])
        st.text_input(_("Male parent"), key=_FIELDS["male"])
        st.text_input(_("Note (may stay empty)"), key=_FIELDS["note"])
        st.form_submit_button(_("Add this cross"), on_click=_add, args=(on_change,),
                              width="stretch")  # fmt: skip
        if problem := st.session_state.get(_PROBLEM):
            notice(problem, tone=Tone.PROBLEM)


def _add(on_change: Callable[[], None]) -> None:
    """Add the cross that was typed and choose it; keep what was typed if it is refused."""
    person = require_here(Action.PLAN)
    typed = {name: str(st.session_state[key]) for name, key in _FIELDS.items()}
    try:
        cross = resources.store().plans.add(
            PlannedCross(
                typed["id"],
                PlannedParent(typed["female"]),
                PlannedParent(typed["male"]),
                note=typed["note"],
            ),
            by=person.name,
        )
    except SpikecheckError as error:
        st.session_state[_PROBLEM] = str(error)
        return
    st.session_state[_PROBLEM] = ""
    st.session_state["cross"] = cross.id
    on_change()
    for key in _FIELDS.values():
        st.session_state[key] = ""
