"""Sets a person's word against a recorded verdict, and shows the words set so far."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

import streamlit as st

import resources
from spikecheck.access import Action
from spikecheck.bookkeeping.local_time import local_zone
from spikecheck.errors import SpikecheckError
from spikecheck.language import N_, _, day_and_time
from spikecheck.vocabulary import Verdict
from spikecheck.vocabulary.words import verdict_word
from visit import Step, current_visit, remember
from who import allowed, current_person, require_here
from widgets.plain import Tone, notice, show_problems, strong

if TYPE_CHECKING:
    from spikecheck.store import RecordedCheck, Store

_WORDS = {
    Verdict.PASS: N_("Pass all the same: I looked, the spike is clean"),
    Verdict.REVIEW: N_("Review all the same: I saw something"),
}


class Decide(Protocol):
    """Files a decision unless there are more than ``earlier`` by now (a tap that came twice)."""

    def __call__(
        self, store: Store, *, verdict: Verdict, by: str, reason: str, earlier: int
    ) -> None:
        """File it."""


def show_override(check: RecordedCheck, *, by: str, decide: Decide) -> None:
    """Show a form to decide otherwise about ``check``; ``decide`` files what is decided.

    Parameters
    ----------
    check
        The check.
    by
        The name to propose where nobody signs in.
    decide
        Files it.
    """
    if not allowed(Action.OVERRIDE):
        return
    other = Verdict.REVIEW if check.standing_verdict is Verdict.PASS else Verdict.PASS
    kept = f"{check.id}-{len(check.overrides)}"
    reason, name = f"reason-{kept}", f"override-by-{kept}"
    with st.expander(_("Decide otherwise")), st.form("override"):
        strong(_(_WORDS[other]))
        st.text_area(_("Your reason; it stays beside the check"), key=reason, max_chars=1000)
        if not current_person().signed_in:
            st.text_input(_("Your name"), key=remember(name, by))
        st.form_submit_button(
            _("Record my decision"),
            on_click=_override,
            args=(decide, other, reason, name, len(check.overrides)),
            width="stretch",
        )
        show_problems(current_visit().problems[Step.OVERRIDE])


def show_past_overrides(check: RecordedCheck) -> None:
    """Show every decision by hand, oldest first, and what it was made against."""
    if check.overrides:
        word = verdict_word(check.verdict)
        st.caption(_("Decided by hand; the photos gave: {verdict}").format(verdict=word))
    for past in check.overrides:
        notice(
            _("{by} decided {verdict} on {moment}: {reason}").format(
                by=past.by,
                verdict=verdict_word(past.verdict),
                moment=day_and_time(past.at.astimezone(local_zone())),
                reason=past.reason,
            ),
            tone=Tone.HINT,
        )


def _override(decide: Decide, verdict: Verdict, reason: str, name: str, earlier: int) -> None:
    person = require_here(Action.OVERRIDE)
    visit = current_visit()
    visit.forget_outcome()
    try:
        decide(
            resources.store(),
            verdict=verdict,
            by=person.name if person.signed_in else str(st.session_state[name]),
            reason=str(st.session_state[reason]),
            earlier=earlier,
        )
    except SpikecheckError as error:
        visit.problems[Step.OVERRIDE].append(str(error))
