"""The page that `spikecheck app` serves: sends the visitor to a screen, nothing else."""

from __future__ import annotations

from pathlib import Path

import streamlit as st

import resources
from pages import MARKING, SCREENS
from reader import choose_language, listen
from spikecheck.access import may
from spikecheck.errors import SpikecheckError
from spikecheck.language import _
from who import current_person, is_to_sign_in, keep_apart, take_refusal
from widgets.menu import show_menu
from widgets.plain import show_problems
from widgets.sign_in import keep_signed_in, show_sign_in
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


def _greet() -> None:
    """Lead to the first page of this person: its own address stays the same for everybody."""
    role = current_person().role
    first = next(page for screen, page in _PAGES if may(role, screen.action))
    st.switch_page(first, query_params=st.query_params.to_dict())


def _show() -> None:
    """Show the page to whom it is for; everybody else gets a line that says why not."""
    if is_to_sign_in():
        show_problems(filter(None, [take_refusal()]))
        show_sign_in()
        return
    person = current_person()
    keep_apart(person)
    open_to = [(screen, page) for screen, page in _PAGES if may(person.role, screen.action)]
    show_menu(open_to, person, here=_CHOSEN.url_path)
    show_problems(filter(None, [take_refusal()]))
    _CHOSEN.run()
    keep_signed_in()
    resources.settle(_CHOSEN.url_path)


_CHOSEN = st.navigation(
    [st.Page(_greet, title="spikecheck", default=True), *(page for _one, page in _PAGES)],
    position="hidden",
)
try:
    _show()
except SpikecheckError as error:
    show_problems([str(error)])
choose_language()
