"""The work: cross and spike, photos, verdict, record."""

from __future__ import annotations

import streamlit as st

import resources
from spikecheck.errors import SpikecheckError
from visit import Step, Visit, current_visit, remember
from widgets.cautions import show_short_cautions
from widgets.cross_form import choose_cross
from widgets.intake import show_intake
from widgets.override import show_override, show_past_overrides
from widgets.plain import Tone, notice, show_problems
from widgets.tag_found import choose_by_tag, show_tag
from widgets.verdict import (
    show_closeups,
    show_next_step,
    show_overlays,
    show_promise,
    show_reasons,
    show_risk,
    show_verdict,
)


def show() -> None:
    """Show the screen, one step below the other."""
    visit = current_visit()
    st.header("Check a spike")
    show_short_cautions()
    try:
        summaries = resources.store().crosses()
        choose_by_tag()
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)
        return
    choose_cross(summaries)
    _ask_who(visit)
    if visit.draft.recorded is None:
        show_intake()
        _offer_check(visit)
    _show_verdict(visit)
    _offer_record(visit)


def _ask_who(visit: Visit) -> None:
    spike = st.number_input(
        "Number of the spike on this cross",
        min_value=1,
        step=1,
        key=remember("spike", visit.spike),
    )
    visit.spike = int(spike)
    visit.by = st.text_input("Your name", key=remember("by", visit.by))


def _offer_check(visit: Visit) -> None:
    if not visit.draft.photos or visit.draft.judged is not None:
        return
    if len(visit.draft.photos) == 1:
        notice("One side only so far: add the other side if you can.", tone=Tone.HINT)
    if st.button("Check this spike", type="primary", width="stretch"):
        visit.problems.clear()
        try:
            with st.spinner("Looking at the photos"):
                visit.draft.judge(finder=resources.finder(), thresholds=resources.thresholds())
        except SpikecheckError as error:
            visit.problems[Step.CHECK].append(str(error))
        st.rerun()
    show_problems(visit.problems[Step.CHECK])


def _show_verdict(visit: Visit) -> None:
    judged = visit.draft.judged
    if judged is None:
        return
    result, recorded = judged.result, visit.draft.recorded
    if recorded is None:
        show_verdict(result.verdict)
        show_next_step(result.verdict)
        show_tag(result)
    else:
        show_verdict(recorded.standing_verdict, meaning=False)
        show_past_overrides(recorded)
    show_reasons([reason.message for reason in result.reasons])
    show_risk(result.risk)
    show_promise(judged)
    show_overlays(judged)
    show_closeups(judged.closeups)


def _offer_record(visit: Visit) -> None:
    draft = visit.draft
    if draft.judged is None:
        return
    if draft.recorded is None:
        lacking = [word for word, value in (("cross", visit.cross), ("name", visit.by.strip()))
                   if not value]  # fmt: skip
        if lacking:
            notice(f"To record this check, give: {', '.join(lacking)} (above).", tone=Tone.HINT)
        st.button(
            "Record this check",
            type="primary",
            width="stretch",
            disabled=bool(lacking),
            on_click=_record,
        )
        show_problems(visit.problems[Step.RECORD])
        return
    done = draft.recorded
    notice(
        f"Recorded as check {done.id}: cross {done.cross}, spike {done.spike}, by {done.by}.",
        tone=Tone.DONE,
    )
    show_override(done, by=visit.by, decide=draft.override)
    st.button(
        "Start the next spike",
        type="primary",
        width="stretch",
        on_click=_begin,
        args=(done.spike + 1,),
    )
    st.button("Check this spike again", width="stretch", on_click=_begin, args=(done.spike,))


def _record() -> None:
    visit = current_visit()
    visit.problems.clear()
    try:
        visit.draft.record(
            resources.store(), cross=visit.cross or "", spike=visit.spike, by=visit.by
        )
    except SpikecheckError as error:
        visit.problems[Step.RECORD].append(str(error))


def _begin(spike: int) -> None:
    current_visit().begin(spike)
    st.session_state["spike"] = spike


show()
