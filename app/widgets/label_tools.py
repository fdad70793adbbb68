"""What a click on the photo does: the tools, and what each makes of a place."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.labelling import edits, floret_edits
from spikecheck.vocabulary import AntherStage, Point
from visit import remember

if TYPE_CHECKING:
    from label_visit import LabelVisit
    from spikecheck.labelling import LabelState

ANTHER, MOVE = "Mark an anther", "Move an anther"
FLORET, ENDS = "Mark a floret", "Show base and tip"
STAGE_WORDS = {
    AntherStage.GREEN: "green",
    AntherStage.YELLOW: "yellow, still closed",
    AntherStage.DEHISCED: "dehisced (open, shedding or empty)",
}
CAVITY_WORDS = {1.0: "all of it", 0.5: "in part", 0.0: "not at all"}
_TOOL, _STAGE, _MOVED, _CLIPPED, _CAVITY, _LENGTH = (
    "label-tool", "label-stage", "label-moved", "label-clipped", "label-cavity", "label-length",
)  # fmt: skip


def choose_tool(visit: LabelVisit) -> None:
    """Show the tools, and what the chosen one needs to know."""
    anthers = visit.session.state.truth.anthers
    tools = [ANTHER, *([MOVE] if anthers else []), FLORET, ENDS]
    if st.session_state.get(_TOOL) not in tools:
        st.session_state[_TOOL] = ANTHER
    tool = st.radio("What a click does", tools, key=_TOOL, horizontal=True)
    if tool == ANTHER:
        visit.stage = st.radio(
            "Stage of the anther",
            list(AntherStage),
            format_func=STAGE_WORDS.__getitem__,
            key=remember(_STAGE, visit.stage),
            horizontal=True,
        )
    elif tool == MOVE:
        if st.session_state.get(_MOVED, 0) >= len(anthers):
            st.session_state[_MOVED] = 0
        st.selectbox(
            "Which anther",
            range(len(anthers)),
            format_func=lambda n: f"Anther {n + 1}",
            key=_MOVED,
        )
    elif tool == ENDS:
        st.number_input(
            "Length from base to tip, mm, by a ruler; 0 when not measured",
            min_value=0.0,
            max_value=300.0,
            step=1.0,
            key=_LENGTH,
        )
        st.caption("Now click the tip." if visit.base else "Click the base, then the tip.")
    else:
        st.toggle("Its top is cut", value=True, key=_CLIPPED)
        st.radio(
            "How much of the opening can be looked into",
            list(CAVITY_WORDS),
            format_func=CAVITY_WORDS.__getitem__,
            key=_CAVITY,
            horizontal=True,
        )


def tool_words() -> str:
    """Return what the chosen tool does, for people."""
    return str(st.session_state[_TOOL])


def use_tool(visit: LabelVisit, place: Point) -> None:
    """Do at ``place`` what the chosen tool does."""
    tool = st.session_state[_TOOL]
    if tool == ANTHER:
        stage = st.session_state.get(_STAGE) or visit.stage
        if stage is None:
            visit.problem = "Choose the stage of the anther first, then click."
            return
        visit.change(lambda state: edits.add_anther(state, place, stage))
    elif tool == MOVE:
        index = int(st.session_state[_MOVED])
        visit.change(lambda state: edits.move_anther(state, index, place))
    elif tool == ENDS:
        _mark_end(visit, place)
    else:
        side_px, axis = visit.floret_px, visit.axis
        clipped, cavity = bool(st.session_state[_CLIPPED]), float(st.session_state[_CAVITY])
        visit.change(
            lambda state: floret_edits.add_floret(
                state, place, side_px=side_px, clipped=clipped, cavity_visible=cavity, axis=axis
            )
        )


def _mark_end(visit: LabelVisit, place: Point) -> None:
    """Take the first click for the base; mark both with the second."""
    base, visit.base = visit.base, None
    if base is None:
        visit.base, visit.problem = place, ""
        return
    length_mm = float(st.session_state[_LENGTH])

    def mark(state: LabelState) -> LabelState:
        ends = floret_edits.set_axis(state, base, place)
        return floret_edits.set_length(ends, length_mm) if length_mm else ends

    visit.change(mark)
