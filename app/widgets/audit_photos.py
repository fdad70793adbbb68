"""Photos of a spike to look into and to mark by a tap, with nothing drawn on them by the check."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.access import Action
from spikecheck.errors import SpikecheckError
from spikecheck.imaging.label_view import (
    REGION_PX,
    draw_region,
    region_view,
    whole_view,
)
from spikecheck.language import _
from spikecheck.vocabulary import Point, TrueAnther
from spikecheck.vocabulary.audit_steps import LeftoverMark
from who import require_here
from widgets.clicked_picture import clicked, clicked_picture
from widgets.plain import Tone, notice

if TYPE_CHECKING:
    from collections.abc import Sequence

    from streamlit.delta_generator import DeltaGenerator

    from audit_visit import Marking
    from spikecheck.imaging.view import View
    from spikecheck.store import RecordedPhoto

_ENLARGED = 4
_MARK, _LOOK = "mark", "look"


def show_photos(photos: Sequence[RecordedPhoto], marking: Marking, *, key: str) -> DeltaGenerator:
    """Show the photos of one check; taps enlarge them, or mark what is left.

    Parameters
    ----------
    photos
        The photos.
    marking
        Where marks are kept.
    key
        Begins the keys of the widgets.

    Returns
    -------
    DeltaGenerator
        A place beside the photos, below them on a phone.
    """
    words = {_LOOK: _("enlarges"), _MARK: _("marks a leftover")}
    st.segmented_control(
        _("A tap in a photo"), list(words), format_func=words.__getitem__, default=_LOOK,
        key=f"{key}-tap", required=True,
    )  # fmt: skip
    *columns, beside = st.columns([3, 3, 2])
    for number, photo in enumerate(photos):
        with columns[number % len(columns)]:
            _show_photo(photo, number + 1, marking, key=key)
    if marking.marks:
        beside.button(_("Take the last mark back"), on_click=_take_back, args=(marking,),
                      key=f"{key}-back", width="stretch")  # fmt: skip
    return beside


def _show_photo(photo: RecordedPhoto, number: int, marking: Marking, *, key: str) -> None:
    try:
        picture = resources.filed_photo(photo)
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)
        return
    centre = marking.looked_at.get(photo.sha256)
    if centre is None:
        view = whole_view(picture.width, picture.height, longest_px=REGION_PX)
    else:
        view = region_view(picture.width, picture.height, centre=centre, zoom=_ENLARGED)
    own = [
        TrueAnther(Point(float(mark.row), float(mark.column)))
        for mark in marking.marks
        if mark.photo == photo.sha256 and mark.row is not None and mark.column is not None
    ]
    widget = f"{key}-photo-{number}"
    name = _("Photo {number}").format(number=number)
    st.text(name)
    clicked_picture(
        draw_region(picture, view, anthers=own, florets=(), proposals=()),
        key=widget,
        alt=name,
        width="stretch",
        on_click=partial(_tapped, photo, view, marking, key, widget),
    )
    if centre is not None:
        st.button(_("Whole photo"), key=f"{key}-whole-{number}", on_click=_whole,
                  args=(marking, photo.sha256))  # fmt: skip


def _tapped(photo: RecordedPhoto, view: View, marking: Marking, key: str, widget: str) -> None:
    require_here(Action.AUDIT)
    place = clicked(widget, view)
    if place is None:
        return
    # As it is now: what the photo was drawn with is out of date when it is tapped at once.
    if st.session_state.get(f"{key}-tap") == _MARK:
        marking.marks.append(LeftoverMark(photo.sha256, round(place.row), round(place.column)))
    else:
        marking.looked_at[photo.sha256] = place


def _whole(marking: Marking, sha256: str) -> None:
    require_here(Action.AUDIT)
    marking.looked_at.pop(sha256, None)


def _take_back(marking: Marking) -> None:
    require_here(Action.AUDIT)
    if marking.marks:  # else the second tap of two
        marking.marks.pop()
