"""What the reasons ask for: take a photo again, go back to a floret, look the spike over."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.assessment import retold
from spikecheck.assessment.next_look import NextLook, next_look, photo_first
from spikecheck.imaging.marks import MARKS
from spikecheck.imaging.spike_map import place_words, spike_map
from spikecheck.language import _
from visit import current_visit
from widgets.bench_style import PLACE
from widgets.intake import ask_for_photo
from widgets.plain import Tone, notice, strong
from widgets.verdict import show_reasons

if TYPE_CHECKING:
    from spikecheck.bench_check import Closeup, Judged
    from spikecheck.vocabulary import PhotoResult, Reason

_MAP_PX = 104


def show_look_again(judged: Judged, *, may_retake: bool) -> None:
    """Show all that is to be done before the bag, the most urgent first.

    Parameters
    ----------
    judged
        The verdict.
    may_retake
        Whether a new photo may still take the place of a bad one.
    """
    reasons = judged.result.reasons
    asked = [next_look(reason) for reason in reasons]
    by_photo: defaultdict[int | None, list[Reason]] = defaultdict(list)
    for reason, look in zip(reasons, asked, strict=True):
        if look is NextLook.PHOTO:
            by_photo[reason.photo].append(reason)
    if photo_first(judged.result):
        _show_retakes(by_photo, may_retake=may_retake)
        _show_places(judged)
    else:
        _show_places(judged)
        _show_retakes(by_photo, may_retake=may_retake)
    show_reasons(
        [
            reason.message
            for reason, look in zip(reasons, asked, strict=True)
            if look not in {NextLook.PHOTO, NextLook.PLACE}
        ]
    )


def _show_retakes(by_photo: dict[int | None, list[Reason]], *, may_retake: bool) -> None:
    photos = current_visit().draft.photos
    for index, reasons in by_photo.items():
        for reason in reasons:
            notice(
                _("Take the photo again: {reason}").format(reason=retold(reason.message)),
                tone=Tone.PROBLEM,
            )
        if may_retake:
            bad = photos if index is None else [photos[index]]
            several = len(photos) > 1 and index is not None
            label = _("Take photo {n} again") if several else _("Take the photo again")
            ask_for_photo(
                label.format(n=0 if index is None else index + 1),
                name=f"again-{'all' if index is None else index}",
                instead_of=[photo.sha256 for photo in bad],
            )


def _show_places(judged: Judged) -> None:
    if not judged.closeups:
        return
    st.subheader(_("Go back to these florets"))
    for number, closeup in enumerate(judged.closeups, start=1):
        with st.container(border=True):
            strong(f"{number}. {_where(closeup)}")
            _show_pictures(closeup, judged.result.photos[closeup.photo], number)
            several = len(judged.overlays) > 1
            st.caption(_what(closeup, several=several))
            for reason in closeup.reasons:
                st.text(retold(reason.message))


def _show_pictures(closeup: Closeup, seen: PhotoResult, number: int) -> None:
    where, spike = _where(closeup), seen.findings.spike
    here = closeup.floret or closeup.reasons[0].place
    with st.container(horizontal=True, key=f"{PLACE}-{number}", vertical_alignment="top"):
        alt = _("Close view: {place}").format(place=where)
        st.image(closeup.picture, width="stretch", alt=alt)
        if spike is not None and here is not None:
            st.image(
                spike_map(spike, seen.florets, here=here),
                width=_MAP_PX,
                alt=_("Its place on a map of the spike: {place}").format(place=where),
            )


def _where(closeup: Closeup) -> str:
    if closeup.floret is None:
        return _("Outside the florets")
    return place_words(closeup.floret.floret)


def _what(closeup: Closeup, *, several: bool) -> str:
    """Return what was concluded there, and in which of several photos."""
    words = [] if closeup.floret is None else [
        closeup.floret.floret.id, _(MARKS[closeup.floret.status].words)
    ]  # fmt: skip
    if several or not words:
        words.append(_("photo {n}").format(n=closeup.photo + 1))
    return " · ".join(words)
