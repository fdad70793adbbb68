"""The truth after an answer: what was found, missed and marked on nothing, each one enlarged."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.coaching import Source, truth_of
from spikecheck.coaching.words import answer_words, leftover_words
from spikecheck.errors import UsageError
from spikecheck.imaging.crops import place_crop
from spikecheck.imaging.encoding import encode_jpeg
from spikecheck.imaging.label_view import REGION_PX, whole_view
from spikecheck.imaging.practice_view import draw_truth
from spikecheck.language import _
from spikecheck.vocabulary import Point
from widgets.pictures import show_picture
from widgets.plain import Tone, faint, notice, show_problems, strong

if TYPE_CHECKING:
    from practice_visit import PracticeVisit
    from spikecheck.coaching import Pool, Progress
    from spikecheck.practice import MarkedAnswer
    from spikecheck.vocabulary import Photo

_CROP_MM = 8.0  # an anther of 3 mm with the floret about it
_CROP_WIDTH_PX = 320


def show_truth(visit: PracticeVisit, progress: Progress, pool: Pool | None) -> None:
    """Show how the last answer compares with the truth."""
    number, position = visit.told or (0, 0)
    session = next((one for one in progress.sessions if one.id == number), None)
    if session is None:
        raise UsageError(_("there is no such session of practice"), cure=_("Load the page again"))
    marked = truth_of(session, position)
    right = not marked.missed and not marked.false_alarm
    notice(answer_words(marked), tone=Tone.DONE if right else Tone.PROBLEM)
    drawn = session.photos[position].drawn
    known = None if pool is None else pool.photos.get(drawn.photo)
    _show_next(visit, last=progress.under_way is None)
    show_problems([visit.problem] if visit.problem else [])
    if known is None:
        notice(_("The photo is no longer there."), tone=Tone.HINT)
    else:
        photo = resources.photo_to_mark(known.path)
        _show_whole(photo, marked)
        _show_leftovers(photo, marked)
    faint(
        _("A rendered picture: what is in it is known exactly.")
        if drawn.source == Source.RENDERED
        else _("A photo of a real spike, reviewed by a person.")
    )


def _show_whole(photo: Photo, marked: MarkedAnswer) -> None:
    leftovers = list(enumerate(marked.answer.item.leftovers, start=1))
    found = [(n, one.centre) for n, one in leftovers if one in marked.found]
    missed = [(n, one.centre) for n, one in leftovers if one in marked.missed]
    astray = [Point(mark.row, mark.column) for mark in marked.astray]
    pixels = draw_truth(
        photo,
        whole_view(photo.width, photo.height, longest_px=REGION_PX),
        found=found, missed=missed, astray=astray,
    )  # fmt: skip
    show_picture(
        encode_jpeg(pixels),
        alt=_("The photo with {found} found, {missed} missed, {astray} marks on nothing").format(
            found=len(found), missed=len(missed), astray=len(astray)
        ),
    )
    key = [
        words
        for words, there in (
            (_("circle: found"), found),
            (_("triangle: missed"), missed),
            (_("square: your mark, nothing there"), astray),
        )
        if there
    ]
    if key:
        faint(" · ".join(key))


def _show_leftovers(photo: Photo, marked: MarkedAnswer) -> None:
    numbers = resources.practice_numbers()
    for number, leftover in enumerate(marked.answer.item.leftovers, start=1):
        found = leftover in marked.found
        told = leftover_words(leftover, numbers)
        side_px = round(_CROP_MM * marked.answer.item.px_per_mm)
        with st.container(border=True, gap="xsmall"):
            strong((_("{n}: found") if found else _("{n}: missed")).format(n=number))
            st.text(told)
            show_picture(
                encode_jpeg(place_crop(photo, leftover.centre, side_px=side_px)),
                alt=_("Leftover {n}, enlarged: {told}").format(n=number, told=told),
                width_px=_CROP_WIDTH_PX,
            )


def _show_next(visit: PracticeVisit, *, last: bool) -> None:
    st.button(
        _("See how the session went") if last else _("Next photo"),
        key="practice-next",
        on_click=visit.go_on,
        type="primary",
        width="stretch",
    )
