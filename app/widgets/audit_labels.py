"""Offers what supervisors decided as labels: made when asked for, then there to be saved."""

from __future__ import annotations

import streamlit as st

import resources
from spikecheck.access import Action
from spikecheck.errors import SpikecheckError
from spikecheck.language import _
from spikecheck.supervision import packed_audit_labels
from who import require_here
from widgets.plain import Tone, notice

_MADE = "audit-labels-made"


def show_labels(session: str) -> None:
    """Offer photos with truth files of what was decided, in one file."""
    with st.expander(_("Labels for calibration")):
        st.text(
            _(
                "Photos of which it was decided what is left in them, or that nothing is. Unpack "
                "them into a folder that calibration and marking take in."
            )
        )
        if st.button(_("Make the labels"), width="stretch"):
            _make(session)
        of_session, told, packed = st.session_state.get(_MADE, ("", "", b""))
        if of_session != session:
            return
        notice(told, tone=Tone.DONE)
        st.download_button(
            _("Save the labels"), packed, "labels.zip", "application/zip",
            on_click="ignore", width="stretch",
        )  # fmt: skip


def _make(session: str) -> None:
    """Pack them; only the last are kept, so that a long visit does not grow."""
    require_here(Action.AUDIT)
    st.session_state.pop(_MADE, None)
    try:
        with st.spinner(_("Gathering the labels")):
            made, packed = packed_audit_labels(resources.store(), session)
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)
        return
    told = _(
        "{photos} photos; spikes with a leftover: {leftover}, clean: {clean}, left out since "
        "nobody said what is in them: {unsaid}."
    ).format(
        photos=len(made.photos), leftover=made.leftover_spikes, clean=made.clean_spikes,
        unsaid=made.unsaid,
    )  # fmt: skip
    st.session_state[_MADE] = (session, told, packed)
