"""The one next thing to do, at the bottom where the thumb is: record, bag, next spike."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

import streamlit as st

import resources
from kept import begin, owner, tell_address
from once import record_once
from spikecheck.access import Action
from spikecheck.assessment.next_look import photo_first
from spikecheck.bookkeeping.bench import AfterCheck, BenchStep, after_check, record_bag
from spikecheck.errors import SpikecheckError
from spikecheck.language import _
from visit import Step, current_visit
from who import allowed, current_person, require_here
from widgets.intake import ask_for_photo
from widgets.plain import Tone, notice, show_problems
from widgets.spike_choice import lacking

if TYPE_CHECKING:
    from collections.abc import Callable

    from streamlit.delta_generator import DeltaGenerator

    from spikecheck.store import RecordedCheck

_KEY = "N"  # pressed alone, it does what the bar offers; Streamlit leaves typing alone


def empty_next_action() -> DeltaGenerator | None:
    """Leave nothing in the bar as long as there is no verdict; return its place then.

    Streamlit leaves what a run has not drawn yet on the page. So this comes before the photos are
    looked at: meanwhile nobody is offered to record the verdict on those of before. A bar that
    stays is not touched, so that nothing moves under a finger.
    """
    if current_visit().draft.judged is not None:
        return None
    with st.bottom:
        return st.empty()


def show_next_action(emptied: DeltaGenerator | None, follows: AfterCheck | None) -> None:
    """Show the bar.

    Parameters
    ----------
    emptied
        Its place, if it was emptied in this run.
    follows
        What comes after the check, once it is recorded.

    Raises
    ------
    SpikecheckError
        If the records cannot be read.
    """
    draft = current_visit().draft
    if draft.judged is None or not allowed(Action.RECORD):
        return
    with st.bottom, st.container() if emptied is None else emptied.container():
        if draft.recorded is None or follows is None:
            _offer_record(primary=not photo_first(draft.judged.result))
        else:
            _offer_what_follows(draft.recorded, follows.step)


def what_follows() -> AfterCheck | None:
    """Return what comes after the check at hand; None until it is recorded.

    Raises
    ------
    SpikecheckError
        If the records cannot be read.
    """
    check = current_visit().draft.recorded
    if check is None:
        return None
    return after_check(resources.store(), check, now=datetime.now(UTC))


def show_way_out() -> None:
    """Show how to leave a recorded spike for the next before everything is done to it."""
    check = current_visit().draft.recorded
    if check is None:
        return
    st.button(_("Leave this spike, go to the next"), key="next-later", width="stretch",
              on_click=begin, args=(check.spike + 1,))  # fmt: skip


def _offer_record(*, primary: bool) -> None:
    visit, missing = current_visit(), lacking()
    show_problems(visit.problems[Step.RECORD])
    if missing:
        notice(
            _("To record this check, give: {what} (above).").format(what=", ".join(missing)),
            tone=Tone.HINT,
        )
    st.button(
        _("Record this check"),
        key="next-record",
        type="primary" if primary else "secondary",
        width="stretch",
        disabled=bool(missing),
        on_click=_record,
        shortcut=_KEY if primary else None,
    )


def _offer_what_follows(check: RecordedCheck, step: BenchStep) -> None:
    visit = current_visit()
    show_problems(visit.problems[Step.ENTRY])
    if step is BenchStep.BAG:
        _offer(step, _("The bag is on: record it"), check, visit.recordings, on_click=_bag)
    elif step is BenchStep.NEXT_SPIKE:
        _offer(step, _("Next spike"), check.spike + 1, on_click=begin)
    elif step in {BenchStep.GO_BACK, BenchStep.CHECK_AGAIN}:
        ask_for_photo(_("New photo of this spike"), name="after", anew=True)
    else:
        notice(
            _("That this spike was emasculated is not recorded yet; its bag comes after that."),
            tone=Tone.HINT,
        )
        if st.button(_("Open the page of this spike"), type="primary", width="stretch",
                     key="next-page", shortcut=_KEY):  # fmt: skip
            visit.open_spike((check.cross, check.spike))
            st.switch_page("screens/spikes.py")


def _offer(step: BenchStep, label: str, *given: object, on_click: Callable[..., None]) -> None:
    st.button(
        label,
        key=f"next-{step}",
        type="primary",
        width="stretch",
        on_click=on_click,
        args=given,
        shortcut=_KEY,
    )


def _record() -> None:
    person = require_here(Action.RECORD)
    visit = current_visit()
    visit.forget_outcome()
    try:
        with resources.one_writer():
            visit.draft.record(
                resources.store(),
                cross=visit.cross or "",
                spike=visit.spike,
                by=person.name,
                owner=owner(),
            )
    except SpikecheckError as error:
        visit.problems[Step.RECORD].append(str(error))
    tell_address()


def _bag(check: RecordedCheck, seen: int) -> None:
    require_here(Action.RECORD)
    visit = current_visit()

    def work() -> None:
        bagged = record_bag(
            resources.store(), check, by=current_person().name, now=datetime.now(UTC)
        )
        visit.done = (_("Bagged."),)
        visit.remarks = bagged.remarks

    record_once(seen, Step.ENTRY, work)
