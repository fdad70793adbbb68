"""The page that `spikecheck app` serves: sends the visitor to a screen, nothing else."""

from __future__ import annotations

from pathlib import Path

import streamlit as st

import resources
from widgets.style import show_style

st.set_page_config(
    page_title="spikecheck", page_icon=str(Path(__file__).with_name("icon.svg")), layout="centered"
)
show_style()
_MARKING = resources.label_folder() is not None
_SCREENS = [
    *([st.Page("screens/label.py", title="Mark photos", default=True)] if _MARKING else []),
    st.Page("screens/check.py", title="Check", default=not _MARKING),
    st.Page("screens/agenda.py", title="Agenda"),
    st.Page("screens/spikes.py", title="Spikes"),
    st.Page("screens/sessions.py", title="Sessions"),
    st.Page("screens/records.py", title="Records"),
    st.Page("screens/safety.py", title="Safety and limits"),
]
_CHOSEN = st.navigation(_SCREENS, position="hidden")
with st.container(horizontal=True, key="screens"):
    for _screen in _SCREENS:
        st.page_link(_screen)
_CHOSEN.run()
