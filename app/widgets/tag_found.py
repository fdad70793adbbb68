"""What the tag in the photos says: it tells the spike, unless a person chose another."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from kept import keep
from spikecheck.access import Action
from spikecheck.errors import SpikecheckError, TagError
from spikecheck.language import _
from spikecheck.record_check import spike_of_tag, told_of_other_spikes
from visit import current_visit
from who import require_here
from widgets.plain import Tone, faint, notice

if TYPE_CHECKING:
    from spikecheck.vocabulary import CheckResult


def choose_by_tag() -> None:
    """Choose the spike of the tag in the photos unless a person chose; before that is asked for.

    Raises
    ------
    SpikecheckError
        If the records cannot be read.
    """
    visit = current_visit()
    judged = visit.draft.judged
    if judged is None or visit.chosen or visit.draft.recorded is not None:
        return
    try:
        cross, spike = spike_of_tag(resources.store(), judged.result)
    except TagError:
        return  # show_tag says why, beside the verdict
    if (cross, spike) != (visit.cross, visit.spike):
        _take(cross, spike)
        keep()


def tag_is_read() -> bool:
    """Return whether the photos show a tag."""
    judged = current_visit().draft.judged
    return judged is not None and any(entry.tags for entry in judged.result.photos)


def show_tag(result: CheckResult) -> None:
    """Say which spike the tag belongs to; offer that one where another is chosen."""
    visit = current_visit()
    if not any(entry.tags for entry in result.photos):
        told = (
            _("No tag was read in the photo: choose the spike yourself.")
            if visit.cross is None
            else _("No tag was read in the photo: make sure that this is the spike above.")
        )
        notice(told, tone=Tone.HINT)
        return
    try:
        cross, spike = spike_of_tag(resources.store(), result)
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)
        return
    if (cross, spike) == (visit.cross, visit.spike):
        notice(_("The tag in the photo says so."), tone=Tone.DONE)
        _say_without_scale(result)
        return
    notice(
        _("The tag in the photo is that of {cross}, spike {spike}, which is not chosen.").format(
            cross=cross, spike=spike
        ),
        tone=Tone.PROBLEM,
    )
    st.button(
        _("Choose spike {spike} of that cross").format(spike=spike),
        on_click=_choose,
        args=(cross, spike),
        width="stretch",
    )


def show_other_spikes(result: CheckResult) -> None:
    """Say so where a photo is recorded with another spike: the same picture was chosen again."""
    visit = current_visit()
    told = told_of_other_spikes(resources.store(), result, cross=visit.cross, spike=visit.spike)
    if told:
        notice(told, tone=Tone.PROBLEM)


def _say_without_scale(result: CheckResult) -> None:
    """Say that a tag was read, and still nothing could be measured by it."""
    tags = [tag for entry in result.photos for tag in entry.tags]
    if any(tag.scale is not None for tag in tags):
        return
    faint(
        _(
            "The tag gives no scale: it is folded, partly hidden or too small in the photo. Sizes "
            "are estimated from the spike itself."
        )
    )


def _choose(cross: str, spike: int) -> None:
    require_here(Action.CHECK)
    visit = current_visit()
    visit.problems.clear()
    visit.chosen = False
    _take(cross, spike)
    keep()


def _take(cross: str, spike: int) -> None:
    visit = current_visit()
    visit.cross, visit.spike = cross, spike
    st.session_state["cross"] = cross
    st.session_state["spike"] = spike
