"""Says that a photo is finished: nothing is missing from its marks."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.access import Action
from spikecheck.labelling import edits
from spikecheck.language import N_, _, ngettext
from spikecheck.vocabulary import QualityProblem
from who import require_here
from widgets.plain import Tone, notice

if TYPE_CHECKING:
    from label_visit import LabelVisit

_PROBLEM_WORDS = {
    QualityProblem.NO_SPIKE: N_("no spike in it"),
    QualityProblem.SEVERAL_SPIKES: N_("more than one spike"),
    QualityProblem.TOO_SMALL: N_("spike too small"),
    QualityProblem.CUT_OFF: N_("spike cut off"),
    QualityProblem.DARK: N_("too dark"),
    QualityProblem.OVEREXPOSED: N_("burnt out"),
    QualityProblem.DEFOCUS: N_("out of focus"),
    QualityProblem.MOTION: N_("smeared by movement"),
    QualityProblem.OCCLUDED: N_("something lies over the spike"),
    QualityProblem.NOT_PREPARED: N_("spike not fully prepared"),
}


def show_finish(visit: LabelVisit) -> None:
    """Show what else is to be said of the photo, and the button that finishes it."""
    st.subheader(_("Finish this photo"))
    truth = visit.session.state.truth
    _ask_spike(visit)
    _ask_problems(visit)
    proposals = len(visit.session.state.proposals)
    if proposals and not truth.complete:
        notice(
            ngettext(
                "{n} suggestion is not answered; it is left out.",
                "{n} suggestions are not answered; they are left out.",
                proposals,
            ).format(n=proposals),
            tone=Tone.HINT,
        )
    if truth.complete:
        left = _("leftover anthers marked: {n}") if truth.anthers else _("nothing left")
        notice(
            _("Finished by {who}; {left}.").format(
                who=truth.marked_by or _("somebody"), left=left.format(n=len(truth.anthers))
            ),
            tone=Tone.DONE,
        )
        st.button(_("Not finished after all"), on_click=visit.change, args=(edits.reopen,))
        return
    words = (
        _("That is all: {n} marked, nothing else is left").format(n=len(truth.anthers))
        if truth.anthers
        else _("Nothing is left: I looked into every floret")
    )
    st.button(words, type="primary", width="stretch", on_click=visit.change, args=(edits.finish,))
    if truth.marked_by is not None:
        st.caption(_("Saved so far; not finished."))


def _ask_spike(visit: LabelVisit) -> None:
    key = "label-spike"
    st.session_state[key] = visit.session.state.truth.spike or ""
    st.text_input(
        _("Name of the spike, when other photos show it too"),
        key=key,
        on_change=partial(_set_spike, visit, key),
        help=_("Photos of one spike count as one when the pass limit is chosen."),
    )


def _ask_problems(visit: LabelVisit) -> None:
    key = "label-problems"
    st.session_state[key] = list(visit.session.state.truth.problems or ())
    st.multiselect(
        _("Why it cannot be judged, if so"),
        list(QualityProblem),
        format_func=lambda problem: _(_PROBLEM_WORDS[problem]),
        key=key,
        placeholder=_("It can be judged"),
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
