"""Practice: photos whose truth is known, an answer to each, and then the truth."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from practice_visit import coach_of, current_practice
from spikecheck.access import Action
from spikecheck.errors import SpikecheckError
from spikecheck.language import _
from visit import current_visit, remember
from who import allowed, current_person, require_here
from widgets.plain import Tone, notice
from widgets.practice_people import show_everybody
from widgets.practice_photo import show_photo
from widgets.practice_results import show_results
from widgets.practice_start import show_start
from widgets.practice_truth import show_truth
from widgets.stage import begin_at_top, stage

if TYPE_CHECKING:
    from practice_visit import PracticeVisit
    from spikecheck.coaching import Progress

_NAME = "by"


def show() -> None:
    """Show the photo on view, the truth of the last answer, the results, or where one stands."""
    person = require_here(Action.PRACTISE)
    if not person.signed_in:
        _keep_name()
        person = current_person()
    if not person.name:
        st.header(_("Practice"))
        _ask_name()
        notice(_("Give your name: practice is kept under it."), tone=Tone.HINT)
        return
    try:
        pool = resources.practice_pool()
        progress = coach_of(person.name, pool).progress()
        visit = current_practice(person.name, progress)
        step = _step(visit, progress)
        with stage(step):
            begin_at_top(step)
            if visit.told is not None:
                show_truth(visit, progress, pool)
            elif visit.ended is not None:
                show_results(visit, progress)
            elif progress.on_view is not None:
                show_photo(visit, progress, progress.on_view)
            else:
                show_start(visit, progress, pool)
                if not person.signed_in:
                    _ask_name()
                if allowed(Action.SEE_PRACTICE_OF_OTHERS):
                    show_everybody(pool)
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)


def _step(visit: PracticeVisit, progress: Progress) -> str:
    """Return what tells this view from every other of the practice."""
    if visit.told is not None:
        return "truth {} {}".format(*visit.told)
    if visit.ended is not None:
        return f"results {visit.ended}"
    if progress.on_view is not None:
        return f"photo {progress.on_view.session.id} {progress.on_view.position}"
    return "practice"


def _ask_name() -> None:
    """Ask who practises, where nobody signs in."""
    visit = current_visit()

    def named() -> None:
        require_here(Action.PRACTISE)
        visit.by = st.session_state["by"]

    st.text_input(_("Your name"), key=remember("by", visit.by), on_change=named)


def _keep_name() -> None:
    """Keep the name that was given in the page's address, so that it outlives a reload."""
    visit = current_visit()
    if not visit.by.strip():
        visit.by = st.query_params.get(_NAME, "")
    if visit.by.strip():
        st.query_params[_NAME] = visit.by.strip()


show()
