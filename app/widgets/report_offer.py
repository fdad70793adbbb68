"""Offers the report of a crossing session: made when it is asked for, then there to be saved."""

from __future__ import annotations

import streamlit as st

import resources
from spikecheck.access import Action
from spikecheck.errors import SpikecheckError
from spikecheck.language import _
from who import allowed, require_here
from widgets.plain import Tone, notice

_MADE = "report-made"


def offer_report(session_id: str) -> None:
    """Show a button that makes the report, and once it is made one for each of its files."""
    if not allowed(Action.REPORT):
        return
    if st.button(
        _("Make the report of this session"), key=f"report-of-{session_id}", width="stretch"
    ):
        _make(session_id)
    of_session, files = st.session_state.get(_MADE, ("", None))
    if files is None or of_session != session_id:
        return
    kinds = (
        (_("Save the report as PDF"), files.pdf, "pdf", "application/pdf"),
        (_("Save the report as a web page"), files.html, "html", "text/html"),
    )
    for label, content, suffix, mime in kinds:
        st.download_button(
            label,
            content,
            f"{files.name}.{suffix}",
            mime,
            key=f"report-{suffix}-{session_id}",
            on_click="ignore",
            width="stretch",
        )


def _make(session_id: str) -> None:
    """Make both files; only the last report is kept, so that a long visit does not grow."""
    from spikecheck.bookkeeping.local_time import local_zone
    from spikecheck.reports import report_files

    st.session_state.pop(_MADE, None)
    try:
        person = require_here(Action.REPORT)
        with st.spinner(_("Making the report")):
            files = report_files(resources.store(), session_id, by=person.name, zone=local_zone())
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)
        return
    st.session_state[_MADE] = (session_id, files)
