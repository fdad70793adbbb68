"""The page that `spikecheck app` serves: sends the visitor to a screen, nothing else."""

from __future__ import annotations

from pathlib import Path

import streamlit as st

import resources
from pages import MARKING, SCREENS
from reader import choose_language, listen
from spikecheck.errors import AccessError
from spikecheck.language import _
from who import allowed
from widgets.menu import show_menu
from widgets.plain import show_problems
from widgets.style import show_style

st.set_page_config(
    page_title="spikecheck", page_icon=str(Path(__file__).with_name("icon.svg")), layout="centered"
)
listen()
show_style()
_THERE = [*([MARKING] if resources.label_folder() is not None else []), *SCREENS]
_PAGES = [
    (one, st.Page(f"screens/{one.name}.py", title=_(one.title), url_path=one.name))
    for one in _THERE
]
_OPEN_TO = [(one, page) for one, page in _PAGES if allowed(one.action)]


def _greet() -> None:
    """Lead to the first page of this person: its own address stays the same for everybody."""
    st.switch_page(_OPEN_TO[0][1], query_params=st.query_params.to_dict())


_CHOSEN = st.navigation(
    [st.Page(_greet, title="spikecheck", default=True), *(page for _one, page in _PAGES)],
    position="hidden",
)
show_menu(_OPEN_TO, here=_CHOSEN.url_path)
try:
    _CHOSEN.run()
except AccessError as error:
    show_problems([str(error)])
choose_language()
