"""Changes of florets, axis and scale. They say nothing of anthers: a finished photo stays so."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.labelling.florets import numbered, with_floret_ids
from spikecheck.labelling.places import inside, one
from spikecheck.language import N_, _
from spikecheck.vocabulary import Box, Side, TrueFloret

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.labelling.state import LabelState
    from spikecheck.vocabulary import Point

LEAST_FLORET_PX = 2.0
"""A floret's box is at least this wide, px."""


def add_floret(
    state: LabelState,
    place: Point,
    *,
    side_px: float,
    clipped: bool,
    cavity_visible: float,
    axis: Sequence[Point] | None,
) -> LabelState:
    """Mark a floret at ``place``; florets and their anthers are numbered anew.

    Parameters
    ----------
    state
        The marks so far.
    place
        Middle of the cut opening, or of the floret when it is not cut.
    side_px
        Side of the square that stands for its extent, px.
    clipped
        Whether its top is cut.
    cavity_visible
        Share of the opening that can be looked into, 0..1.
    axis
        From base to tip as the check found it, see :func:`~.florets.numbered`.

    Raises
    ------
    UsageError
        If the place lies outside the photo, or the share outside 0..1.
    """
    place = inside(state.truth, place)
    if not 0 <= cavity_visible <= 1:
        raise UsageError(
            _("the visible share of an opening lies in 0..1, got {cavity_visible}").format(
                cavity_visible=cavity_visible
            )
        )
    half_px = max(side_px, LEAST_FLORET_PX) / 2
    box = Box(place.row - half_px, place.column - half_px,
              place.row + half_px, place.column + half_px)  # fmt: skip
    # Id, side and position are worked out for all florets together.
    floret = TrueFloret("", place, box, Side.FRONT, 0.0, clipped, cavity_visible)
    return with_florets(state, (*(state.truth.florets or ()), floret), axis)


def remove_floret(state: LabelState, index: int, *, axis: Sequence[Point] | None) -> LabelState:
    """Take away the floret of this index; its anthers stay, in no floret or in another.

    Raises
    ------
    UsageError
        If there is no such floret.
    """
    florets = state.truth.florets or ()
    one(florets, index, N_("floret"))
    return with_florets(state, florets[:index] + florets[index + 1 :], axis)


def set_axis(state: LabelState, base: Point, tip: Point) -> LabelState:
    """Mark the spike's base and tip; florets are numbered anew, the scale is forgotten.

    Raises
    ------
    UsageError
        If one lies outside the photo, or both are the same place.
    """
    ends = (inside(state.truth, base), inside(state.truth, tip))
    if ends[0] == ends[1]:
        raise UsageError(
            _("base and tip are the same place"), cure=_("Click one end, then the other")
        )
    marked = replace(state, truth=replace(state.truth, axis=ends, px_per_mm=None))
    return with_florets(marked, marked.truth.florets or (), None)


def set_length(state: LabelState, length_mm: float) -> LabelState:
    """Say how long the spike is from base to tip, mm, as measured with a ruler: the true scale.

    Raises
    ------
    UsageError
        If base and tip are not marked, or the length is no positive number.
    """
    axis = state.truth.axis
    if axis is None:
        raise UsageError(_("base and tip are not marked"), cure=_("Mark both first"))
    if not 0 < length_mm < math.inf:
        raise UsageError(
            _("a spike's length is positive, got {length_mm} mm").format(length_mm=length_mm)
        )
    steps = pairwise(axis)
    length_px = sum(math.hypot(b.row - a.row, b.column - a.column) for a, b in steps)
    return replace(state, truth=replace(state.truth, px_per_mm=round(length_px / length_mm, 4)))


def with_florets(
    state: LabelState, florets: tuple[TrueFloret, ...], axis: Sequence[Point] | None
) -> LabelState:
    """Return the state with these florets, numbered anew, and their anthers with the new ids."""
    truth = state.truth
    in_order = numbered(florets, axis, truth)
    anthers = with_floret_ids(truth.anthers, in_order)
    return replace(state, truth=replace(truth, florets=in_order or None, anthers=anthers))
