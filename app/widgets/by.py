"""Under whose name something is recorded: asked for where nobody signs in, else known."""

from __future__ import annotations

import streamlit as st

from spikecheck.language import _
from visit import current_visit, remember
from who import current_person
from widgets.plain import strong


def ask_name(label: str, *, key: str) -> None:
    """Ask for the name of whoever sits here; show it where that person is signed in."""
    person = current_person()
    if person.signed_in:
        strong(_("Recorded as {name}").format(name=person.name))
    else:
        st.text_input(label, key=remember(key, current_visit().by))


def name_given(key: str) -> str:
    """Return that name: of the person signed in, whatever the browser sends, else as typed."""
    person = current_person()
    return person.name if person.signed_in else str(st.session_state[key])
