"""The menu: the pages that are needed most as links, all others under one button."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.language import _
from widgets.sign_in import show_person
from widgets.style import MENU

if TYPE_CHECKING:
    from collections.abc import Sequence

    from streamlit.navigation.page import Page

    from pages import Screen
    from spikecheck.access import Person

_FEW = 4
"""So many links fit two lines of a narrow phone, even where their words are long."""


def show_menu(open_to: Sequence[tuple[Screen, Page]], person: Person, *, here: str) -> None:
    """Show a way to every page that this person may open, and out.

    Parameters
    ----------
    open_to
        The pages, in the order of the menu.
    person
        Whose they are.
    here
        The address of the page that is open; another one folds away what stands under "More".
    """
    few = len(open_to) <= _FEW
    rest = [page for screen, page in open_to if not (few or screen.at_hand)]
    with st.container(horizontal=True, key=MENU, gap=None, vertical_alignment="center"):
        for screen, page in open_to:
            if few or screen.at_hand:
                st.page_link(page)
        if rest or person.signed_in:
            with st.popover(_("More"), type="tertiary", key=f"{MENU}-more-{here}"):
                _show_rest(rest)
                with st.container(key=f"{MENU}-person"):
                    show_person(person)


def _show_rest(rest: Sequence[Page]) -> None:
    with st.container(key=f"{MENU}-rest", gap="xsmall"):
        for page in rest:
            st.page_link(page, width="stretch")
