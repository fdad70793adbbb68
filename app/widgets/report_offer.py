"""Offers the report of a crossing session: made when it is asked for, then there to be saved."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.access import Action
from spikecheck.errors import SpikecheckError
from spikecheck.language import _, ngettext
from who import allowed, require_here
from widgets.cover import look
from widgets.plain import Tone, faint, notice

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.vocabulary import SpikeRecord

_MADE = "report-made"


def offer_report(session_id: str, covered: Sequence[SpikeRecord]) -> None:
    """Show a button that makes the report, and once it is made one for each of its files.

    Parameters
    ----------
    session_id
        Id of the session.
    covered
        Its spikes whose first reading is covered, which the report tells.
    """
    if not allowed(Action.REPORT):
        return
    if covered:
        told = ngettext(
            "{n} spike of it is drawn and not read a second time yet. The report tells its first "
            "verdict: if you read it after that, your reading is recorded as not blind.",
            "{n} spikes of it are drawn and not read a second time yet. The report tells their "
            "first verdicts: if you read them after that, your readings are recorded as not blind.",
            len(covered),
        )
        faint(told.format(n=len(covered)))
    if st.button(
        _("Make the report of this session"), key=f"report-of-{session_id}", width="stretch"
    ):
        _make(session_id, covered)
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


def _make(session_id: str, covered: Sequence[SpikeRecord]) -> None:
    """Make both files; only the last report is kept, so that a long visit does not grow."""
    from spikecheck.bookkeeping.local_time import local_zone
    from spikecheck.reports import report_files

    st.session_state.pop(_MADE, None)
    try:
        person = require_here(Action.REPORT)
        look(covered)
        with st.spinner(_("Making the report")):
            files = report_files(resources.store(), session_id, by=person.name, zone=local_zone())
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)
        return
    st.session_state[_MADE] = (session_id, files)
