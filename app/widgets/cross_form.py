"""Chooses the cross, or adds one."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.errors import SpikecheckError
from visit import current_visit
from widgets.plain import Tone, notice

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.store import CrossSummary

_FIELDS = {"id": "new-id", "female": "new-female", "male": "new-male", "note": "new-note"}
_PROBLEM = "new-problem"


def choose_cross(summaries: Sequence[CrossSummary]) -> None:
    """Show the crosses to choose from and a form for one more."""
    visit = current_visit()
    names = {one.cross.id: f"{one.cross.id}: {one.cross.female} / {one.cross.male}"
             for one in summaries}  # fmt: skip
    if names:
        if st.session_state.get("cross") not in names:
            st.session_state["cross"] = visit.cross if visit.cross in names else None
        visit.cross = st.selectbox(
            "Cross (female / male)",
            list(names),
            format_func=names.__getitem__,
            key="cross",
            placeholder="Choose the cross",
        )
    with (
        st.expander("Add a cross", expanded=not names, key=f"add-{len(names)}"),
        st.form("new-cross", border=False),
    ):
        st.text_input("Id of the cross, as on the tag", key=_FIELDS["id"])
        st.text_input("Female parent (the emasculated one)", key=_FIELDS["female"])
        st.text_input("Male parent", key=_FIELDS["male"])
        st.text_input("Note (may stay empty)", key=_FIELDS["note"])
        st.form_submit_button("Add this cross", on_click=_add, width="stretch")
        if problem := st.session_state.get(_PROBLEM):
            notice(problem, tone=Tone.PROBLEM)


def _add() -> None:
    """Add the cross that was typed and choose it; keep what was typed if it is refused."""
    typed = {name: str(st.session_state[key]) for name, key in _FIELDS.items()}
    try:
        cross = resources.store().add_cross(
            typed["id"], female=typed["female"], male=typed["male"], note=typed["note"]
        )
    except SpikecheckError as error:
        st.session_state[_PROBLEM] = str(error)
        return
    st.session_state[_PROBLEM] = ""
    st.session_state["cross"] = cross.id
    for key in _FIELDS.values():
        st.session_state[key] = ""
