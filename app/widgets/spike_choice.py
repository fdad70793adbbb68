"""Which spike this check is of, and who checks: known by the tag, or chosen here."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from kept import keep
from spikecheck.access import Action
from spikecheck.bookkeeping.bench import next_number
from spikecheck.errors import SpikecheckError
from spikecheck.language import _
from visit import Step, current_visit, remember
from who import current_person, require_here
from widgets.cross_form import choose_cross
from widgets.names import parents
from widgets.plain import literal

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.store import CrossSummary


def show_spike(summaries: Sequence[CrossSummary]) -> None:
    """Show which spike this check is of, large and literally, if one is known."""
    visit = current_visit()
    cross = next((one.cross for one in summaries if one.cross.id == visit.cross), None)
    if cross is None:
        return
    name = _("{cross}, spike {spike}").format(cross=cross.id, spike=visit.spike)
    st.html(
        f'<div style="overflow-wrap:anywhere"><strong style="font-size:1.3rem">{literal(name)}'
        f"</strong> <span>{literal(parents(cross))}</span></div>"
    )


def choose_spike(summaries: Sequence[CrossSummary], *, needed: bool) -> None:
    """Show the inputs for cross, number and name, open where something is needed of them."""
    visit = current_visit()
    if not current_person().signed_in and not visit.by.strip():
        _ask_name()
    with st.expander(
        _("Choose the spike yourself"), expanded=needed, key=f"choose-{visit.round}-{needed}"
    ):
        choose_cross(summaries, on_change=_chosen)
        spike = st.number_input(
            _("Number of the spike on this cross"),
            min_value=1,
            step=1,
            key=remember("spike", visit.spike),
            on_change=_numbered,
        )
        visit.spike = int(spike)
        if not current_person().signed_in and visit.by.strip():
            _ask_name()


def lacking() -> list[str]:
    """Return what must be known before a check can be recorded and is not."""
    visit = current_visit()
    given = ((_("cross"), visit.cross), (_("name"), current_person().name))
    return [word for word, value in given if not value]


def _ask_name() -> None:
    visit = current_visit()
    visit.by = st.text_input(_("Your name"), key=remember("by", visit.by), on_change=_named)


def _chosen() -> None:
    """Take the cross up before the page is made: what stands above the list names it."""
    require_here(Action.CHECK)
    visit = current_visit()
    visit.chosen = True
    visit.cross = st.session_state["cross"]
    # A number that came with the same tap is told after this.
    numbered = visit.numbered or st.session_state["spike"] != visit.spike
    if visit.cross is not None and not numbered:
        try:
            visit.spike = next_number(resources.store(), visit.cross)
        except SpikecheckError as error:
            visit.problems[Step.PHOTOS].append(str(error))
        st.session_state["spike"] = visit.spike
    keep()


def _numbered() -> None:
    require_here(Action.CHECK)
    visit = current_visit()
    visit.chosen = visit.numbered = True
    visit.spike = int(st.session_state["spike"])
    keep()


def _named() -> None:
    require_here(Action.CHECK)
    current_visit().by = str(st.session_state["by"])
    keep()
