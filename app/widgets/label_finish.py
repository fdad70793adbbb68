"""Says that a photo is finished: nothing is missing from its marks."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.access import Action
from spikecheck.labelling import edits
from spikecheck.vocabulary import QualityProblem
from who import require_here
from widgets.plain import Tone, notice

if TYPE_CHECKING:
    from label_visit import LabelVisit

_PROBLEM_WORDS = {
    QualityProblem.NO_SPIKE: "no spike in it",
    QualityProblem.SEVERAL_SPIKES: "more than one spike",
    QualityProblem.TOO_SMALL: "spike too small",
    QualityProblem.CUT_OFF: "spike cut off",
    QualityProblem.DARK: "too dark",
    QualityProblem.OVEREXPOSED: "burnt out",
    QualityProblem.DEFOCUS: "out of focus",
    QualityProblem.MOTION: "smeared by movement",
    QualityProblem.OCCLUDED: "something lies over the spike",
    QualityProblem.NOT_PREPARED: "spike not fully prepared",
}


def show_finish(visit: LabelVisit) -> None:
    """Show what else is to be said of the photo, and the button that finishes it."""
    st.subheader("Finish this photo")
    truth = visit.session.state.truth
    _ask_spike(visit)
    _ask_problems(visit)
    proposals = len(visit.session.state.proposals)
    if proposals and not truth.complete:
        notice(f"{proposals} suggestions are not answered; they are left out.", tone=Tone.HINT)
    if truth.complete:
        left = f"leftover anthers marked: {len(truth.anthers)}" if truth.anthers else "nothing left"
        notice(f"Finished by {truth.marked_by or 'somebody'}; {left}.", tone=Tone.DONE)
        st.button("Not finished after all", on_click=visit.change, args=(edits.reopen,))
        return
    words = (
        f"That is all: {len(truth.anthers)} marked, nothing else is left"
        if truth.anthers
        else "Nothing is left: I looked into every floret"
    )
    st.button(words, type="primary", width="stretch", on_click=visit.change, args=(edits.finish,))
    if truth.marked_by is not None:
        st.caption("Saved so far; not finished.")


def _ask_spike(visit: LabelVisit) -> None:
    key = "label-spike"
    st.session_state[key] = visit.session.state.truth.spike or ""
    st.text_input(
        "Name of the spike, when other photos show it too",
        key=key,
        on_change=partial(_set_spike, visit, key),
        help="Photos of one spike count as one when the pass limit is chosen.",
    )


def _ask_problems(visit: LabelVisit) -> None:
    key = "label-problems"
    st.session_state[key] = list(visit.session.state.truth.problems or ())
    st.multiselect(
        "Why it cannot be judged, if so",
        list(QualityProblem),
        format_func=_PROBLEM_WORDS.__getitem__,
        key=key,
        placeholder="It can be judged",
        on_change=partial(_set_problems, visit, key),
    )


def _set_spike(visit: LabelVisit, key: str) -> None:
    require_here(Action.LABEL)
    name = str(st.session_state[key])
    visit.change(lambda state: edits.set_spike(state, name))


def _set_problems(visit: LabelVisit, key: str) -> None:
    require_here(Action.LABEL)
    problems = [QualityProblem(code) for code in st.session_state[key]]
    visit.change(lambda state: edits.set_problems(state, problems))
