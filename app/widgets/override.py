"""Sets a person's word against a recorded verdict, and shows the words set so far."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

import streamlit as st

import resources
from spikecheck.errors import SpikecheckError
from spikecheck.vocabulary import Verdict
from visit import Step, current_visit, remember
from widgets.plain import Tone, notice, show_problems

if TYPE_CHECKING:
    from spikecheck.store import RecordedCheck, Store

_WORDS = {
    Verdict.PASS: "Pass all the same: I looked, the spike is clean",
    Verdict.REVIEW: "Review all the same: I saw something",
}


class Decide(Protocol):
    """Files a decision unless there are more than ``earlier`` by now (a tap that came twice)."""

    def __call__(
        self, store: Store, *, verdict: Verdict, by: str, reason: str, earlier: int
    ) -> None:
        """File it."""


def show_override(check: RecordedCheck, *, by: str, decide: Decide) -> None:
    """Show a form to decide otherwise about ``check``; ``decide`` files what is decided."""
    other = Verdict.REVIEW if check.standing_verdict is Verdict.PASS else Verdict.PASS
    kept = f"{check.id}-{len(check.overrides)}"
    reason, name = f"reason-{kept}", remember(f"override-by-{kept}", by)
    with st.expander("Decide otherwise"), st.form("override"):
        st.markdown(f"**{_WORDS[other]}**")
        st.text_area("Your reason; it stays beside the check", key=reason, max_chars=1000)
        st.text_input("Your name", key=name)
        st.form_submit_button(
            "Record my decision",
            on_click=_override,
            args=(decide, other, reason, name, len(check.overrides)),
            width="stretch",
        )
        show_problems(current_visit().problems[Step.OVERRIDE])


def show_past_overrides(check: RecordedCheck) -> None:
    """Show every decision by hand, oldest first, and what it was made against."""
    if check.overrides:
        st.caption(f"Decided by hand; the photos gave: {check.verdict}")
    for past in check.overrides:
        notice(
            f"{past.by} decided {past.verdict} on {past.at.astimezone():%Y-%m-%d %H:%M}: "
            f"{past.reason}",
            tone=Tone.HINT,
        )


def _override(decide: Decide, verdict: Verdict, reason: str, name: str, earlier: int) -> None:
    visit = current_visit()
    visit.forget_outcome()
    try:
        decide(
            resources.store(),
            verdict=verdict,
            by=str(st.session_state[name]),
            reason=str(st.session_state[reason]),
            earlier=earlier,
        )
    except SpikecheckError as error:
        visit.problems[Step.OVERRIDE].append(str(error))
