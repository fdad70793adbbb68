"""The crosses with their counts, and the checks of one of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.access import Action
from spikecheck.errors import SpikecheckError
from spikecheck.language import _, isolated
from who import require_here
from widgets.cover import is_covered, show_cover
from widgets.names import cross_name
from widgets.plain import Tone, notice, strong
from widgets.recorded_check import show_recorded_check

if TYPE_CHECKING:
    from spikecheck.store import CrossSummary, RecordedCheck, Store
    from spikecheck.vocabulary import SpikeRecord

_OPEN = "opened-cross"
_SHOWN = "shown-checks"
_MORE = 10


def show() -> None:
    """Show all crosses, or the checks of the one that was opened."""
    require_here(Action.SEE_RECORDS)
    try:
        opened = st.session_state.get(_OPEN)
        if opened is None:
            _show_crosses(resources.store())
        else:
            _show_checks(opened)
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)


def _show_crosses(store: Store) -> None:
    summaries = store.crosses()
    covered = {one.cross for one in store.spikes.audited() if is_covered(one)}
    st.header(_("Records"))
    if not summaries:
        notice(_("No cross is recorded yet: add one on the Check screen."), tone=Tone.HINT)
    for one in reversed(summaries):
        with st.container(border=True):
            st.text(cross_name(one.cross))
            if one.cross.note:
                st.text(isolated(one.cross.note))
            st.caption(_counts(one, covered=one.cross.id in covered))
            if one.spikes:
                st.button(
                    _("Show its checks"),
                    key=f"open-{one.cross.id}",
                    on_click=_open,
                    args=(one.cross.id,),
                    width="stretch",
                )


def _counts(one: CrossSummary, *, covered: bool) -> str:
    if covered:  # the counts of few spikes tell of each
        return _("Spikes checked {spikes} · verdicts are told after the second reading").format(
            spikes=one.spikes
        )
    return _("Spikes checked {spikes} · pass {passed} · review {review}").format(
        spikes=one.spikes, passed=one.passed, review=one.review
    )


def _show_checks(cross_id: str) -> None:
    st.button(_("Back to all crosses"), on_click=_open, args=(None,), width="stretch")
    store = resources.store()
    cross, checks = store.cross(cross_id), store.checks(cross_id)
    st.header(_("Checks of a cross"))
    st.text(cross_name(cross))
    st.caption(_("Newest first"))
    shown = st.session_state.get(_SHOWN, _MORE)
    covered = {one.spike: one for one in store.spikes.of_cross(cross_id) if is_covered(one)}
    for check in checks[:shown]:
        _show_check(check, covered.get(check.spike))
    if len(checks) > shown:
        st.button(
            _("Show older checks ({n} more)").format(n=len(checks) - shown),
            on_click=_show_more,
            width="stretch",
        )


def _show_check(check: RecordedCheck, covered: SpikeRecord | None) -> None:
    if covered is None:
        show_recorded_check(check)
        return
    with st.container(border=True):
        strong(_("Spike {spike}, check {id}").format(spike=check.spike, id=check.id))
        show_cover(covered, key=str(check.id))


def _open(cross_id: str | None) -> None:
    require_here(Action.SEE_RECORDS)
    st.session_state[_OPEN] = cross_id
    st.session_state[_SHOWN] = _MORE


def _show_more() -> None:
    require_here(Action.SEE_RECORDS)
    st.session_state[_SHOWN] += _MORE


show()
