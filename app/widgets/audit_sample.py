"""The sample of a session: how many spikes to draw, what that is worth, and the draw."""

from __future__ import annotations

import streamlit as st

import resources
from audit_visit import Part, current_audit
from spikecheck.access import Action
from spikecheck.audit import Strata
from spikecheck.audit.draw import METHOD, ticket_text
from spikecheck.bookkeeping.local_time import local_zone
from spikecheck.errors import UsageError
from spikecheck.language import N_, _, day_and_time, ngettext
from spikecheck.supervision import draw_session, session_audit, session_plan
from spikecheck.supervision.charts import plan_chart
from spikecheck.thresholds.audit import load_audit
from spikecheck.vocabulary.words import spike_name
from who import require_here
from widgets.audit_words import audit_once
from widgets.chart import show_chart
from widgets.plain import Tone, faint, notice

_STRATA = {
    Strata.NONE: N_("by nothing"),
    Strata.TECHNICIAN: N_("by who emasculated"),
}
_DETECT, _RISK, _GOOD, _ALARM, _PARTED = (
    "audit-plan-detect", "audit-plan-risk", "audit-plan-good", "audit-plan-alarm",
    "audit-plan-parted",
)  # fmt: skip


def show_sample(session: str) -> None:
    """Show the sample that is open, or what is needed to draw one."""
    audit = session_audit(resources.store(), session)
    sample = audit.sample
    if sample is not None:
        told = _("Drawn on {when} by {who}: {sample} of {lot} spikes, {accept} bad allowed.")
        st.text(
            told.format(
                when=day_and_time(sample.drawn_at.astimezone(local_zone())), who=sample.drawn_by,
                sample=sample.plan.sample, lot=sample.plan.lot, accept=sample.plan.accept,
            )
        )  # fmt: skip
        notice(sample.sentence, tone=Tone.HINT)
        with st.expander(_("Drawn spikes, and how to draw them again")):
            st.text(", ".join(spike_name(one.cross, one.spike) for one in sample.drawn))
            faint(_(METHOD))
            faint(_("Chain head: {head}").format(head=sample.chain_head))
            first = sample.drawn[0]
            faint(
                _("The ticket of {spike} is the SHA-256 of {text}").format(
                    spike=first, text=ticket_text(session, sample.chain_head, first)
                )
            )
        if not sample.finished:
            return
    if not audit.lot:
        notice(_("No spike of this session hangs in its bag: nothing to draw."), tone=Tone.HINT)
        return
    _plan_and_draw(session, audit.lot)


def _plan_and_draw(session: str, lot: int) -> None:
    numbers = load_audit()
    st.subheader(_("Plan"))
    left, right = st.columns(2)
    with left:
        detect = _percent(_("Bad spikes to notice, %"), numbers.detect_share, _DETECT, least=0.5)
        miss = _percent(_("Risk that they pass all the same, %"), numbers.miss_risk, _RISK)
    with right:
        good = _percent(_("Bad spikes that are good enough, %"), 0.0, _GOOD, least=0.0)
        alarm = _percent(_("Risk that a good session fails, %"), numbers.false_alarm_risk, _ALARM)
    try:
        planned = session_plan(
            lot, detect_share=detect, miss_risk=miss, good_share=good, false_alarm_risk=alarm
        )
    except UsageError as error:
        notice(str(error), tone=Tone.PROBLEM)
        return
    st.text(planned.sentence)
    show_chart(plan_chart(planned))
    if planned.reference_sentence:
        faint(planned.reference_sentence)
    strata = st.selectbox(
        _("Part the lot first"), list(_STRATA), format_func=lambda one: _(_STRATA[one]),
        key=_PARTED,
    )  # fmt: skip

    seen = current_audit().recorded

    def draw() -> None:
        require_here(Action.AUDIT)

        def work(name: str) -> tuple[str, ...]:
            drawn = draw_session(resources.store(), session, planned.plan, by=name, strata=strata)
            current_audit().part = Part.READING
            count = len(drawn.drawn)
            told = ngettext("{count} spike is drawn.", "{count} spikes are drawn.", count)
            return (told.format(count=count),)

        audit_once(seen, work)

    count = planned.plan.sample
    st.button(
        ngettext("Draw {count} spike", "Draw {count} spikes", count).format(count=count),
        type="primary", on_click=draw, width="stretch",
    )  # fmt: skip


def _percent(words: str, usual: float, key: str, *, least: float = 0.1) -> float:
    given = st.number_input(
        words, min_value=least, max_value=50.0, value=100 * usual, step=0.5, key=key, format="%.1f"
    )
    return float(given) / 100
