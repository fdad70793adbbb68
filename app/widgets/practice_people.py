"""Everybody's practice, for supervisors."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from practice_visit import coach_of
from spikecheck.access import Action
from spikecheck.language import _
from who import require_here
from widgets.plain import faint, heading
from widgets.practice_results import show_curve, show_scores, show_standing

if TYPE_CHECKING:
    from spikecheck.coaching import Pool

_KEY = "practice-person"


def show_everybody(pool: Pool | None) -> None:
    """Show who practises; one of them with sign-off, scores and curve."""
    require_here(Action.SEE_PRACTICE_OF_OTHERS)
    people = resources.store().practice.people()
    if not people:
        return
    st.divider()
    st.subheader(_("Everybody's practice"))
    faint(_("For supervisors."))
    chosen = st.selectbox(
        _("Person"), people, index=None, key=_KEY, placeholder=_("Choose a person")
    )
    if chosen is None:
        return
    heading(chosen)
    sessions = coach_of(chosen, pool).progress().sessions
    show_standing(sessions)
    show_scores(sessions)
    show_curve(sessions)
