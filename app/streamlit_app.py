"""The page that `spikecheck app` serves: sends the visitor to a screen, nothing else."""

from __future__ import annotations

from pathlib import Path

import streamlit as st

import resources
from reader import choose_language, listen
from spikecheck.language import _
from widgets.style import show_style

st.set_page_config(
    page_title="spikecheck", page_icon=str(Path(__file__).with_name("icon.svg")), layout="centered"
)
show_style()
listen()
_MARKING = resources.label_folder() is not None
_SCREENS = [
    *([st.Page("screens/label.py", title=_("Mark photos"), default=True)] if _MARKING else []),
    st.Page("screens/check.py", title=_("Check"), default=not _MARKING),
    st.Page("screens/agenda.py", title=_("Agenda")),
    st.Page("screens/spikes.py", title=_("Spikes")),
    st.Page("screens/sessions.py", title=_("Sessions")),
    st.Page("screens/practice.py", title=_("Practice")),
    st.Page("screens/records.py", title=_("Records")),
    st.Page("screens/safety.py", title=_("Safety and limits")),
]
_CHOSEN = st.navigation(_SCREENS, position="hidden")
with st.container(horizontal=True, key="screens"):
    for _screen in _SCREENS:
        st.page_link(_screen)
_CHOSEN.run()
choose_language()
