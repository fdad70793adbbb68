"""The check of one spike at the bench: photo, spike, verdict, where to go back to, record, bag."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from kept import go_on, tell_address
from spikecheck.access import Action
from spikecheck.errors import SpikecheckError
from spikecheck.language import _, ngettext
from visit import Step, current_visit
from who import require_here
from widgets.bench_style import show_bench_style
from widgets.cautions import show_short_cautions
from widgets.intake import (
    ask_for_photo,
    offer_camera_here,
    room_for_more,
    show_photo_problems,
    show_taken,
)
from widgets.look_again import show_look_again
from widgets.next_action import (
    empty_next_action,
    show_next_action,
    show_way_out,
    what_follows,
)
from widgets.override import show_override, show_past_overrides
from widgets.plain import Tone, notice, show_problems
from widgets.spike_choice import choose_spike, lacking, show_spike
from widgets.stage import begin_at_top, stage
from widgets.step_form import show_outcome
from widgets.tag_found import choose_by_tag, show_other_spikes, show_tag, tag_is_read
from widgets.unfinished import show_unfinished
from widgets.verdict import show_overlays, show_promise, show_risk, show_verdict

if TYPE_CHECKING:
    from collections.abc import Sequence

    from streamlit.delta_generator import DeltaGenerator

    from spikecheck.bench_check import Judged
    from spikecheck.bookkeeping.bench import AfterCheck
    from spikecheck.store import CrossSummary, RecordedCheck


def show() -> None:
    """Show the screen: the photo first, then everything that follows from it."""
    require_here(Action.CHECK)
    show_bench_style()
    try:
        go_on()
        emptied = empty_next_action()
        place = _stage()
        summaries = resources.store().crosses()
        judged = current_visit().draft.judged
        follows = what_follows()
        with place:
            begin_at_top(_step())
            if judged is None:
                _show_start(summaries)
            else:
                _show_judged(judged, summaries, follows)
        show_next_action(emptied, follows)
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)
    tell_address()


def _stage() -> DeltaGenerator:
    """Return where to show the check; the photos are looked at first, as soon as they are there.

    Meanwhile no earlier verdict is on the page.
    """
    visit = current_visit()
    to_judge = visit.draft.judged is None and not visit.problems[Step.CHECK]
    if not visit.draft.photos:
        return stage(_step())
    place = stage(_step(), meanwhile=_judge if to_judge else None)
    choose_by_tag()
    return place


def _step() -> str:
    """Return what tells this view from every other of the checks."""
    draft = current_visit().draft
    recorded = None if draft.recorded is None else draft.recorded.id
    photos = ",".join(photo.sha256[:8] for photo in draft.photos)
    return f"check {photos} {recorded}"


def _judge() -> None:
    visit = current_visit()
    count = len(visit.draft.photos)
    words = ngettext("Looking at the photo", "Looking at {n} photos", count).format(n=count)
    try:
        with st.spinner(words):
            visit.draft.judge(finder=resources.finder(), thresholds=resources.thresholds())
    except SpikecheckError as error:
        visit.problems[Step.CHECK].append(str(error))


def _try_again() -> None:
    require_here(Action.CHECK)
    current_visit().problems.clear()


def _show_start(summaries: Sequence[CrossSummary]) -> None:
    visit = current_visit()
    st.header(_("Check a spike"))
    # In a place of their own, filled or not: a control for photos that moves on the page is made
    # anew by the browser, and a photo given meanwhile is lost.
    with st.container():
        if visit.chosen:
            show_spike(summaries)
        show_problems(visit.problems[Step.CHECK])
        if visit.draft.photos:
            st.button(_("Try again"), on_click=_try_again, width="stretch")
    ask_for_photo(_("Take or choose a photo"), name="first")
    show_photo_problems()
    st.text(
        _("One spike, close up, its tag beside it. The tag says which spike it is.")
        if summaries
        else _("One spike, close up. There is no cross yet: add it below, or take the photo first.")
    )
    if visit.draft.photos:
        show_taken()
    show_unfinished()
    choose_spike(summaries, needed=not summaries)
    offer_camera_here()
    show_short_cautions()


def _show_judged(
    judged: Judged, summaries: Sequence[CrossSummary], follows: AfterCheck | None
) -> None:  # fmt: skip
    recorded = current_visit().draft.recorded
    if recorded is None or follows is None:
        _show_open(judged, summaries)
    else:
        _show_recorded(judged, recorded, summaries, held_until=follows.held_until)
    show_risk(judged.result.risk)
    show_overlays(judged)
    show_short_cautions()


def _show_open(judged: Judged, summaries: Sequence[CrossSummary]) -> None:
    show_verdict(judged.result.verdict)
    show_spike(summaries)
    show_tag(judged.result)
    show_other_spikes(judged.result)
    asked = (not tag_is_read() and not current_visit().chosen) or bool(lacking())
    if asked:
        choose_spike(summaries, needed=True)
    show_photo_problems()
    show_look_again(judged, may_retake=True)
    if room_for_more():
        ask_for_photo(_("Add the other side"), name="side", main=False)
    show_promise(judged)
    if not asked:
        choose_spike(summaries, needed=False)
    show_taken()


def _show_recorded(
    judged: Judged, check: RecordedCheck, summaries: Sequence[CrossSummary], *, held_until: str
) -> None:  # fmt: skip
    visit = current_visit()
    if held_until:  # nothing green: a pass of long ago is none
        notice(
            _(
                "It passed, but that held until {until}: anthers ripen. Check it again before the "
                "bag goes on."
            ).format(until=held_until),
            tone=Tone.PROBLEM,
        )
    else:
        show_verdict(check.standing_verdict, meaning=False)
    show_spike(summaries)
    show_past_overrides(check)
    notice(
        _("Recorded as check {id}: cross {cross}, spike {spike}, by {by}.").format(
            id=check.id, cross=check.cross, spike=check.spike, by=check.by
        ),
        tone=Tone.DONE,
    )
    show_outcome()
    show_look_again(judged, may_retake=False)
    if not held_until:
        show_promise(judged)
    show_override(check, by=visit.by, decide=visit.draft.override)
    show_way_out()


show()
