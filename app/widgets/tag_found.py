"""What the tag in the photos says, and one tap to record where it says."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.errors import SpikecheckError
from spikecheck.record_check import spike_of_tag
from visit import current_visit
from widgets.plain import Tone, notice

if TYPE_CHECKING:
    from spikecheck.vocabulary import CheckResult


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
        notice(f"The tag in the photo is that of {cross}, spike {spike}.", tone=Tone.DONE)
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
    visit.cross, visit.spike = cross, spike
    visit.problems.clear()
    st.session_state["cross"] = cross
    st.session_state["spike"] = spike
