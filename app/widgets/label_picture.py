"""The photo to mark: a small map to choose a region, the region enlarged, and what a click does."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.access import Action
from spikecheck.imaging.label_view import ZOOMS, draw_map, draw_region, whole_view
from spikecheck.language import N_, _
from spikecheck.vocabulary import Point
from who import require_here
from widgets.clicked_picture import clicked, clicked_picture
from widgets.label_tools import choose_tool, tool_words, use_tool

if TYPE_CHECKING:
    from label_visit import LabelVisit

_REGION, _MAP = "label-region", "label-map"
_ARROWS = (
    (N_("Left"), 0.0, -0.5),
    (N_("Up"), -0.5, 0.0),
    (N_("Down"), 0.5, 0.0),
    (N_("Right"), 0.0, 0.5),
)


def show_picture(visit: LabelVisit) -> None:
    """Show the tools, the map and the enlarged region."""
    choose_tool(visit)
    photo, view, state = visit.photo, visit.view, visit.session.state
    hidden = st.session_state.get("label-hidden", False)
    side, main = st.columns([1, 3])
    with side:
        st.caption(_("Click the map to choose what is enlarged."))
        clicked_picture(
            draw_map(photo, view, [mark.centre for mark in state.truth.anthers]),
            key=_MAP,
            alt=_("Map of the photo"),
            width=150 if photo.height >= photo.width else 220,
            on_click=partial(_look, visit),
        )
    with main:
        st.caption(_("{tool} by a click in this picture.").format(tool=tool_words()))
        clicked_picture(
            draw_region(
                photo,
                view,
                anthers=() if hidden else state.truth.anthers,
                florets=() if hidden else (state.truth.florets or ()),
                proposals=() if hidden else [(p.number, p.mark) for p in state.proposals],
                axis=() if hidden else (state.truth.axis or ()),
            ),
            key=_REGION,
            alt=_("The enlarged part of the photo"),
            width="stretch",
            on_click=partial(_click, visit),
        )
    _show_moves(visit)
    _place_by_numbers(visit)


def _show_moves(visit: LabelVisit) -> None:
    """Show undo and redo, and what moves and enlarges the region without a pointer."""
    with st.container(horizontal=True):
        session = visit.session
        st.button(_("Undo"), on_click=visit.undo, disabled=not session.can_undo)
        st.button(_("Redo"), on_click=visit.redo, disabled=not session.can_redo)
    with st.container(horizontal=True):
        for words, rows, columns in _ARROWS:
            st.button(_(words), on_click=visit.go, args=(rows, columns), key=f"label-go-{words}")
    with st.container(horizontal=True, vertical_alignment="bottom"):
        st.session_state["label-zoom"] = visit.zoom
        st.selectbox(
            _("Enlarged"),
            ZOOMS,
            format_func=_zoom_words,
            key="label-zoom",
            on_change=partial(_zoom, visit),
            width=160,
        )
        st.toggle(_("Hide the marks"), key="label-hidden")


def _zoom_words(zoom: int) -> str:
    return _("whole photo") if zoom == 1 else _("{n} times").format(n=zoom)


def _zoom(visit: LabelVisit) -> None:
    require_here(Action.LABEL)
    visit.zoom = st.session_state["label-zoom"]
    visit.look_at(visit.centre)


def _place_by_numbers(visit: LabelVisit) -> None:
    """Show a way to place a mark without a pointer."""
    truth = visit.session.state.truth
    with (
        st.expander(_("Place by numbers instead of a click")),
        st.form("label-numbers", border=False),
    ):
        st.number_input(
            _("Pixels from the left edge, 0 to {width}").format(width=truth.width),
            min_value=0.0,
            max_value=float(truth.width),
            step=1.0,
            key="label-x",
        )
        st.number_input(
            _("Pixels from the top edge, 0 to {height}").format(height=truth.height),
            min_value=0.0,
            max_value=float(truth.height),
            step=1.0,
            key="label-y",
        )
        st.form_submit_button(_("Place it here"), on_click=partial(_place_numbers, visit))


def _place_numbers(visit: LabelVisit) -> None:
    require_here(Action.LABEL)
    place = Point(float(st.session_state["label-y"]), float(st.session_state["label-x"]))
    use_tool(visit, place)
    visit.look_at(place)


def _look(visit: LabelVisit) -> None:
    require_here(Action.LABEL)
    whole = whole_view(visit.photo.width, visit.photo.height, longest_px=1)
    place = clicked(_MAP, whole)
    if place is not None:
        visit.look_at(place)


def _click(visit: LabelVisit) -> None:
    require_here(Action.LABEL)
    place = clicked(_REGION, visit.view)
    if place is not None:
        use_tool(visit, place)
