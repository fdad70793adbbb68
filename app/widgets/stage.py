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

    Streamlit leaves what a run has not drawn yet on the page until the run ends, and a container
    that is drawn where another was takes over what was in that. So buttons of the former step could
    be read, and pressed, below the new one. Here steps take turns on two places, and the one that
    is left is emptied first. Within a step nothing moves: the page does not flicker, and inputs
    keep what they hold.

    Parameters
    ----------
    step
        Tells this step from every other of this visit.
    meanwhile
        What takes a while first; it is shown alone, as long as it takes.
    """
    last: tuple[str, int] = st.session_state.get(_STEP, ("", 0))
    before, side = last
    if before != step or meanwhile is not None:
        side = 1 - side
    st.session_state[_STEP] = (step, side)
    waiting = st.empty()
    places: list[DeltaGenerator] = [
        st.container() if side == place else st.empty() for place in (0, 1)
    ]
    if meanwhile is not None:
        with waiting.container():
            meanwhile()
        waiting.empty()
    shown: DeltaGenerator = places[side]
    return shown


def begin_at_top(step: str) -> None:
    """Let the page begin at its top when ``step`` comes; stay where it is within the step."""
    words = json.dumps(step).replace("<", "\\u003c")
    # The browser runs a script anew only when its text changes.
    st.html(
        '<script>document.querySelector("[data-testid=stMain]").scrollTo(0, 0);'
        f"/* {words.replace('*', '')} */</script>",
        unsafe_allow_javascript=True,
    )
