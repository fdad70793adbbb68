"""Shows one check from the records."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.bookkeeping.local_time import local_zone
from spikecheck.errors import SpikecheckError
from spikecheck.language import _, day_and_time
from widgets.override import show_past_overrides
from widgets.plain import Tone, notice, strong
from widgets.verdict import show_reasons, show_verdict, told_first

if TYPE_CHECKING:
    from collections.abc import Iterable

    from spikecheck.store import RecordedCheck


def show_recorded_check(check: RecordedCheck) -> None:
    """Show verdict, reasons, decisions by hand and, on request, the marked photos."""
    with st.container(border=True):
        title = _("Spike {spike}, check {id}").format(spike=check.spike, id=check.id)
        strong(title)
        moment = day_and_time(check.at.astimezone(local_zone()))
        st.text(_("{moment}, by {by}").format(moment=moment, by=check.by))
        show_verdict(check.standing_verdict, meaning=False)
        show_past_overrides(check)
        reasons = json.loads(check.result)["reasons"]
        show_reasons([reason["message"] for reason in reasons])
        st.caption(
            _("Looked at by {model} {version}").format(
                model=check.model.name, version=check.model.version
            )
        )
        if st.toggle(_("Show the marked photos"), key=f"photos-{check.id}"):
            _show_photos(check, told_first([one["photo"] for one in reasons], len(check.photos)))


def _show_photos(check: RecordedCheck, order: Iterable[int]) -> None:
    for index in order:
        photo = check.photos[index]
        try:
            overlay = resources.store().overlay(photo)
        except SpikecheckError as error:
            notice(str(error), tone=Tone.PROBLEM)
            continue
        st.text(photo.file_name)
        st.image(overlay, width="stretch", alt=_("The photo with its marks"))
