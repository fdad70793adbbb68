"""The photo on view: marks by click or by keyboard, and the answers below it."""

from __future__ import annotations

import math
from functools import partial
from typing import TYPE_CHECKING

import streamlit as st

import resources
from practice_visit import CLOSE_ZOOM, marks_of
from spikecheck.access import Action
from spikecheck.imaging.label_view import ZOOMS
from spikecheck.imaging.practice_view import draw_own_marks
from spikecheck.language import _
from spikecheck.vocabulary import Point
from who import require_here
from widgets.clicked_picture import clicked, clicked_picture
from widgets.plain import faint
from widgets.practice_answer import show_answers

if TYPE_CHECKING:
    from practice_visit import PracticeVisit
    from spikecheck.coaching import OnView, Progress
    from spikecheck.imaging.view import View

_PICTURE = "practice-picture"
_STEP = 0.3  # of the region that one press of an arrow moves it


def show_photo(visit: PracticeVisit, progress: Progress, on_view: OnView) -> None:
    """Show the photo, what can be done with it, and how far the session is."""
    place = (on_view.session.id, on_view.position)
    photo = resources.photo_to_mark(on_view.photo.path)
    view = visit.view_of(place, photo)
    whole = visit.look.zoom == 1
    _show_progress(progress, on_view)
    faint(
        _("Tap where you want to look closer.")
        if whole
        else _("Tap on each anther that is left. The cross is the middle.")
    )
    marks = marks_of(place)
    clicked_picture(
        draw_own_marks(photo, view, [Point(m.row, m.column) for m in marks], cross=not whole),
        key=_PICTURE,
        alt=_("The spike to look at") if whole else _("The enlarged part of the photo"),
        width="stretch",
        on_click=partial(_click, visit, on_view, view),
    )
    # What comes and goes has a container that stays: what follows keeps its place on the page, by
    # which a tap finds its button also while the page is being drawn.
    with st.container():
        _show_marks(visit, on_view, len(marks))
    show_answers(visit, on_view, marked=bool(marks))
    _show_moves(visit, on_view, view)


def _show_progress(progress: Progress, on_view: OnView) -> None:
    done = sum(photo.answer is not None for photo in on_view.session.photos)
    total = len(on_view.session.photos)
    st.progress(
        done / total,
        _("Photo {n} of {m} · {minutes} min without a rest").format(
            n=on_view.position + 1, m=total, minutes=math.floor(progress.block.looked_s / 60)
        ),
    )


def _show_moves(visit: PracticeVisit, on_view: OnView, view: View) -> None:
    """Show what moves and enlarges the region, and marks its middle, without a pointer."""
    faint(_("Without a pointer: enlarge, move, mark the middle."))
    zoom = visit.look.zoom
    middle = Point((view.top + view.bottom) / 2 - 0.5, (view.left + view.right) / 2 - 0.5)
    with st.container(horizontal=True, gap="small", key="practice-moves"):
        for name, words, rows, columns in (
            ("left", "\N{LEFTWARDS ARROW}", 0.0, -_STEP),
            ("up", "\N{UPWARDS ARROW}", -_STEP, 0.0),
            ("down", "\N{DOWNWARDS ARROW}", _STEP, 0.0),
            ("right", "\N{RIGHTWARDS ARROW}", 0.0, _STEP),
        ):
            st.button(
                words,
                key=f"practice-{name}",
                on_click=visit.move,
                args=(view, rows, columns),
                disabled=zoom == 1,
                help=_MOVES[name](),
            )
        at = ZOOMS.index(zoom)
        closer = CLOSE_ZOOM if zoom == 1 else ZOOMS[min(at + 1, len(ZOOMS) - 1)]
        st.button(
            "+",
            key="practice-closer",
            on_click=visit.look_at,
            args=(middle, closer),
            disabled=zoom == ZOOMS[-1],
            help=_("Closer"),
        )
        further = 1 if zoom <= CLOSE_ZOOM else ZOOMS[at - 1]
        st.button(
            "\N{MINUS SIGN}",
            key="practice-further",
            on_click=visit.look_at,
            args=(middle, further),
            disabled=zoom == 1,
            help=_("Further away"),
        )
        st.button(
            _("Mark the middle"),
            key="practice-middle",
            on_click=visit.mark,
            args=(on_view, middle),
            disabled=zoom == 1,
        )


def _show_marks(visit: PracticeVisit, on_view: OnView, marks: int) -> None:
    """Show the way back to the whole photo, and what takes marks back."""
    if visit.look.zoom == 1 and not marks:
        return
    with st.container(horizontal=True, gap="small"):
        if visit.look.zoom > 1:
            st.button(_("Whole photo"), key="practice-whole", on_click=visit.look_at_all)
        for index in range(marks):
            st.button(
                _("Take back mark {n}").format(n=index + 1),
                key=f"practice-back-{index}",
                on_click=visit.take_back,
                args=(on_view, index),
            )


def _click(visit: PracticeVisit, on_view: OnView, view: View) -> None:
    require_here(Action.PRACTISE)
    place = clicked(_PICTURE, view)
    if place is None:
        return
    if visit.look.zoom == 1:
        visit.look_at(place, CLOSE_ZOOM)
    else:
        visit.mark(on_view, place)


_MOVES = {
    "left": lambda: _("To the left"),
    "up": lambda: _("Up"),
    "down": lambda: _("Down"),
    "right": lambda: _("To the right"),
}
