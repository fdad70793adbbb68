"""What the reasons ask for: take a photo again, go back to a floret, look the spike over."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.assessment.next_look import NextLook, next_look
from spikecheck.imaging.marks import MARKS
from spikecheck.imaging.spike_map import place_words
from spikecheck.language import _
from visit import current_visit
from widgets.bench_style import PLACE
from widgets.intake import ask_for_photo
from widgets.plain import Tone, notice, strong
from widgets.verdict import show_reasons, shown_reason

if TYPE_CHECKING:
    from closeups import Closeup
    from draft import Judged
    from spikecheck.vocabulary import CheckResult, Reason

_CROP_PX, _MAP_PX = 220, 96


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
    parts = {
        NextLook.PHOTO: lambda: _show_retakes(by_photo, judged.result, may_retake=may_retake),
        NextLook.PLACE: lambda: _show_places(judged),
    }
    for look in sorted(parts, key=lambda part: asked.index(part) if part in asked else len(asked)):
        parts[look]()
    show_reasons(
        [
            shown_reason(reason, judged.result)
            for reason, look in zip(reasons, asked, strict=True)
            if look not in parts
        ]
    )


def retake_comes_first(judged: Judged) -> bool:
    """Return whether the most urgent reason asks for a photo again."""
    reasons = judged.result.reasons
    return bool(reasons) and next_look(reasons[0]) is NextLook.PHOTO


def _show_retakes(
    by_photo: dict[int | None, list[Reason]], result: CheckResult, *, may_retake: bool
) -> None:
    photos = current_visit().draft.photos
    for index, reasons in by_photo.items():
        for reason in reasons:
            notice(
                _("Take the photo again: {reason}").format(reason=shown_reason(reason, result)),
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
            _show_pictures(closeup, number)
            several = len(judged.overlays) > 1
            st.caption(_what(closeup, several=several))
            for reason in closeup.reasons:
                st.text(shown_reason(reason, judged.result))


def _show_pictures(closeup: Closeup, number: int) -> None:
    where = _where(closeup)
    with st.container(horizontal=True, key=f"{PLACE}-{number}", vertical_alignment="top"):
        st.image(closeup.picture, width=_CROP_PX, alt=_("Close view: {place}").format(place=where))
        if closeup.map:
            st.image(
                closeup.map,
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
