"""Offers to go on with checks that were begun and not recorded."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from kept import leave_out, take_up, unfinished
from spikecheck.bookkeeping.local_time import local_zone
from spikecheck.language import _, day_and_time, ngettext
from widgets.plain import literal

if TYPE_CHECKING:
    from spikecheck.store.drafts import CheckDraft

_IN_SIGHT = 3  # more would push what the page is for out of a phone's sight


def show_unfinished() -> None:
    """Show the checks that this person has begun, the last one first, older ones folded away.

    Where nobody signs in they are those of everybody who works here.

    Raises
    ------
    StoreError
        If the records cannot be read.
    """
    drafts = unfinished()
    for draft in drafts[:_IN_SIGHT]:
        _show(draft)
    older = drafts[_IN_SIGHT:]
    if older:
        told = ngettext("{n} older one", "{n} older ones", len(older)).format(n=len(older))
        with st.expander(told, key="unfinished-older"):
            for draft in older:
                _show(draft)


def _show(draft: CheckDraft) -> None:
    photos = len(draft.photos)
    counted = ngettext("{n} photo", "{n} photos", photos).format(n=photos)
    begun = day_and_time(draft.begun_at.astimezone(local_zone()))
    told = _("A check begun on {moment} is not recorded yet: {photos}.").format(
        moment=begun, photos=counted
    )
    if draft.cross is not None:
        told += " " + _("Chosen: {cross}, spike {spike}.").format(
            cross=draft.cross, spike=draft.spike
        )
    with st.container(border=True):
        st.html(f"<div style='overflow-wrap:anywhere'>{literal(told)}</div>")
        with st.container(horizontal=True):
            st.button(
                _("Go on with it"), key=f"go-on-{draft.id}", on_click=take_up, args=(draft.id,)
            )
            st.button(
                _("Leave it out"), key=f"leave-{draft.id}", on_click=leave_out, args=(draft.id,)
            )
