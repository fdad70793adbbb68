"""What the tag in the photos says: it chooses the spike where none is chosen, or offers it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.errors import SpikecheckError, TagError
from spikecheck.record_check import spike_of_tag
from visit import current_visit
from widgets.plain import Tone, notice

if TYPE_CHECKING:
    from spikecheck.vocabulary import CheckResult


def choose_by_tag() -> None:
    """Choose the spike of the tag in the photos if no cross is chosen; before that is asked for.

    Raises
    ------
    SpikecheckError
        If the records cannot be read.
    """
    visit = current_visit()
    judged = visit.draft.judged
    if judged is None or visit.cross is not None or visit.draft.recorded is not None:
        return
    try:
        cross, spike = spike_of_tag(resources.store(), judged.result)
    except TagError:
        return  # show_tag says why, beside the verdict
    _choose(cross, spike)
    visit.by_tag = (cross, spike)


def show_tag(result: CheckResult) -> None:
    """Say which spike the tag belongs to; offer that one where another is chosen."""
    if not any(entry.tags for entry in result.photos):
        return
    visit = current_visit()
    try:
        cross, spike = spike_of_tag(resources.store(), result)
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)
        return
    if (cross, spike) == (visit.cross, visit.spike):
        chosen = " No cross was chosen, so it is chosen above." if visit.by_tag else ""
        notice(f"The tag in the photo is that of {cross}, spike {spike}.{chosen}", tone=Tone.DONE)
        return
    notice(
        f"The tag in the photo is that of {cross}, spike {spike}, which is not chosen above.",
        tone=Tone.PROBLEM,
    )
    st.button(
        f"Choose spike {spike} of that cross", on_click=_choose, args=(cross, spike),
        width="stretch",
    )  # fmt: skip


def _choose(cross: str, spike: int) -> None:
    visit = current_visit()
    visit.cross, visit.spike, visit.by_tag = cross, spike, None
    visit.problems.clear()
    st.session_state["cross"] = cross
    st.session_state["spike"] = spike
