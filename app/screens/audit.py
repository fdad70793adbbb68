"""Audit of a crossing session: look it over, draw a sample, read it again, decide."""

from __future__ import annotations

import streamlit as st

import resources
from audit_visit import PART_WORDS, Part, current_audit
from spikecheck.access import Action
from spikecheck.errors import AccessError, SpikecheckError
from spikecheck.language import _
from visit import current_visit, remember
from who import current_person, require_here
from widgets.audit_charts import show_charts
from widgets.audit_gallery import show_gallery
from widgets.audit_overview import show_overview
from widgets.audit_reading import show_reading
from widgets.audit_result import show_result
from widgets.audit_sample import show_sample
from widgets.audit_style import show_audit_style
from widgets.names import session_name
from widgets.plain import Tone, notice, show_problems

_PARTS = {
    Part.OVERVIEW: show_overview,
    Part.GALLERY: show_gallery,
    Part.SAMPLE: show_sample,
    Part.READING: show_reading,
    Part.RESULT: show_result,
    Part.CHARTS: show_charts,
}


def show() -> None:
    """Show the chosen part of the audit of the chosen session."""
    require_here(Action.AUDIT)
    show_audit_style()
    st.header(_("Audit of a session"))
    try:
        left, right = st.columns(2)
        with left:
            session = _choose_session()
        if session is None:
            return
        with right:
            _ask_name()
        _choose_part()
        audit = current_audit()
        for line in audit.told:
            notice(line, tone=Tone.DONE)
        show_problems(audit.problems)
        _PARTS[audit.part](session)
    except AccessError:
        raise
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)


def _choose_session() -> str | None:
    """Show the sessions; return the id of the chosen one, None where there are none."""
    sessions = resources.store().sessions.all()
    if not sessions:
        notice(_("No session is recorded yet: add one on the Sessions screen."), tone=Tone.HINT)
        return None
    audit = current_audit()
    told = {one.id: session_name(one) for one in sessions}
    if audit.session not in told:
        audit.choose_session(sessions[0].id)

    def chosen() -> None:
        require_here(Action.AUDIT)
        current_audit().choose_session(st.session_state["audit-session"])

    st.selectbox(
        _("Session"), list(told), format_func=told.__getitem__,
        key=remember("audit-session", audit.session), on_change=chosen,
    )  # fmt: skip
    return audit.session


def _ask_name() -> None:
    """Ask for the name where nobody signs in: readings and decisions carry it."""
    if current_person().signed_in:
        return
    visit = current_visit()
    visit.by = st.text_input(
        _("Your name; readings and decisions carry it"), key=remember("by", visit.by)
    )


def _choose_part() -> None:
    audit = current_audit()

    def chosen() -> None:
        require_here(Action.AUDIT)
        part = st.session_state["audit-part"]
        current_audit().go_to(current_audit().part if part is None else Part(part))

    st.session_state["audit-part"] = audit.part
    st.segmented_control(
        _("Part of the audit"), list(Part), format_func=lambda one: _(PART_WORDS[one]),
        key="audit-part", on_change=chosen, label_visibility="collapsed", required=True,
    )  # fmt: skip


show()
