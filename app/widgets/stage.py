"""The part of a page that changes as a whole from one step of the work to the next."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import streamlit as st

if TYPE_CHECKING:
    from collections.abc import Callable

    from streamlit.delta_generator import DeltaGenerator

_STEP = "stage"


def stage(step: str, *, meanwhile: Callable[[], None] | None = None) -> DeltaGenerator:
    """Return where ``step`` is shown, cleared of the former step at once.

    Streamlit leaves what a run has not drawn yet on the page until the run ends, so buttons of the
    former step could be read, and pressed, below the new one. Within one step nothing is cleared:
    the page does not flicker and inputs keep their place.

    Parameters
    ----------
    step
        Tells this step from every other of this visit.
    meanwhile
        What takes a while first; it is shown alone, as long as it takes.
    """
    before, st.session_state[_STEP] = st.session_state.get(_STEP), step
    if before == step and meanwhile is None:
        return st.container()
    place = st.empty()
    if meanwhile is not None:
        with place.container():
            meanwhile()
        place.empty()
    return place.container()


def begin_at_top(step: str) -> None:
    """Let the page begin at its top when ``step`` comes; stay where it is within the step."""
    words = json.dumps(step).replace("<", "\\u003c")
    # The browser runs a script anew only when its text changes.
    st.html(
        '<script>document.querySelector("[data-testid=stMain]").scrollTo(0, 0);'
        f"/* {words.replace('*', '')} */</script>",
        unsafe_allow_javascript=True,
    )
