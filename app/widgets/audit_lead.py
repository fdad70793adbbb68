"""Buttons that lead to another part of the audit."""

from __future__ import annotations

import streamlit as st

from audit_visit import Part, current_audit
from spikecheck.access import Action
from spikecheck.language import _
from who import require_here
from widgets.plain import Tone, notice


def lead(label: str, part: Part) -> None:
    """Show a button that leads to ``part``."""
    st.button(label, on_click=_go, args=(part,), type="primary", width="stretch")


def lead_to_sample() -> None:
    """Say that a sample is to be drawn first, and lead there."""
    notice(_("Draw a sample first."), tone=Tone.HINT)
    lead(_("Draw a sample"), Part.SAMPLE)


def _go(part: Part) -> None:
    require_here(Action.AUDIT)
    current_audit().go_to(part)
