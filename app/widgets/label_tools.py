"""What a click on the photo does: the tools, and what each makes of a place."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.labelling import edits, floret_edits
from spikecheck.language import N_, _
from spikecheck.vocabulary import AntherStage, Point
from visit import remember

if TYPE_CHECKING:
    from label_visit import LabelVisit
    from spikecheck.labelling import LabelState

ANTHER, MOVE = N_("Mark an anther"), N_("Move an anther")
FLORET, ENDS = N_("Mark a floret"), N_("Show base and tip")
_STAGE_WORDS = {
    AntherStage.GREEN: N_("green"),
    AntherStage.YELLOW: N_("yellow, still closed"),
    AntherStage.DEHISCED: N_("dehisced (open, shedding or empty)"),
}
ANTHER_WORDS = {
    AntherStage.GREEN: N_("green anther"),
    AntherStage.YELLOW: N_("yellow anther"),
    AntherStage.DEHISCED: N_("dehisced anther"),
    None: N_("anther"),
}
_CAVITY_WORDS = {1.0: N_("all of it"), 0.5: N_("in part"), 0.0: N_("not at all")}
_TOOL, _STAGE, _MOVED, _CLIPPED, _CAVITY, _LENGTH = (
    "label-tool", "label-stage", "label-moved", "label-clipped", "label-cavity", "label-length",
)  # fmt: skip


def stage_words(stage: AntherStage) -> str:
    """Return a stage in words that tell it from the others."""
    return _(_STAGE_WORDS[stage])


def choose_tool(visit: LabelVisit) -> None:
    """Show the tools, and what the chosen one needs to know."""
    anthers = visit.session.state.truth.anthers
    tools = [ANTHER, *([MOVE] if anthers else []), FLORET, ENDS]
    if st.session_state.get(_TOOL) not in tools:
        st.session_state[_TOOL] = ANTHER
    tool = st.radio(_("What a click does"), tools, format_func=_, key=_TOOL, horizontal=True)
    if tool == ANTHER:
        visit.stage = st.radio(
            _("Stage of the anther"),
            list(AntherStage),
            format_func=stage_words,
            key=remember(_STAGE, visit.stage),
            horizontal=True,
        )
    elif tool == MOVE:
        if st.session_state.get(_MOVED, 0) >= len(anthers):
            st.session_state[_MOVED] = 0
        st.selectbox(
            _("Which anther"),
            range(len(anthers)),
            format_func=lambda n: _("Anther {index}").format(index=n + 1),
            key=_MOVED,
        )
    elif tool == ENDS:
        st.number_input(
            _("Length from base to tip, mm, by a ruler; 0 when not measured"),
            min_value=0.0,
            max_value=300.0,
            step=1.0,
            key=_LENGTH,
        )
        st.caption(_("Now click the tip.") if visit.base else _("Click the base, then the tip."))
    else:
        st.toggle(_("Its top is clipped"), value=True, key=_CLIPPED)
        st.radio(
            _("How much of the opening can be looked into"),
            list(_CAVITY_WORDS),
            format_func=lambda seen: _(_CAVITY_WORDS[seen]),
            key=_CAVITY,
            horizontal=True,
        )


def tool_words() -> str:
    """Return what the chosen tool does, for people."""
    return _(str(st.session_state[_TOOL]))


def use_tool(visit: LabelVisit, place: Point) -> None:
    """Do at ``place`` what the chosen tool does."""
    tool = st.session_state[_TOOL]
    if tool == ANTHER:
        stage = st.session_state.get(_STAGE) or visit.stage
        if stage is None:
            visit.problem = _("Choose the stage of the anther first, then click.")
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
