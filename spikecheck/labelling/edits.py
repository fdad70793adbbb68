"""Every change a person can make to the marks of one photo, as functions of the state.

A change of an anther takes back that the photo is finished: what was confirmed was another state.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from spikecheck.errors import UsageError
from spikecheck.labelling.florets import floret_at, numbered, with_floret_ids
from spikecheck.vocabulary import Box, Point, Side, TrueAnther, TrueFloret, Verdict

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.labelling.state import LabelState, Proposal
    from spikecheck.vocabulary import AntherStage, PhotoTruth, QualityProblem

T = TypeVar("T")

LEAST_FLORET_PX = 2.0
"""A floret's box is at least this wide, px."""


def add_anther(state: LabelState, place: Point, stage: AntherStage) -> LabelState:
    """Mark an anther at ``place``.

    Raises
    ------
    UsageError
        If the place lies outside the photo.
    """
    truth = state.truth
    place = _inside(truth, place)
    floret = floret_at(place, truth.florets or ())
    anther = TrueAnther(place, stage=stage, floret=None if floret is None else floret.id)
    return _with_anthers(state, (*truth.anthers, anther))


def move_anther(state: LabelState, index: int, place: Point) -> LabelState:
    """Move the anther of this index to ``place``; what was measured of it is forgotten.

    Raises
    ------
    UsageError
        If there is no such anther, or the place lies outside the photo.
    """
    place = _inside(state.truth, place)
    old = _one(state.truth.anthers, index, "anther")
    floret = floret_at(place, state.truth.florets or ())
    moved = replace(
        old, centre=place, box=None, floret=None if floret is None else floret.id,
        visible_share=None, visible_area_mm2=None, length_mm=None,
    )  # fmt: skip
    return _with_anthers(state, _swapped(state.truth.anthers, index, moved))


def set_stage(state: LabelState, index: int, stage: AntherStage) -> LabelState:
    """Set the stage of the anther of this index.

    Raises
    ------
    UsageError
        If there is no such anther.
    """
    old = _one(state.truth.anthers, index, "anther")
    if old.stage is stage:
        return state
    changed = replace(old, stage=stage, near_anthesis=None)
    return _with_anthers(state, _swapped(state.truth.anthers, index, changed))


def remove_anther(state: LabelState, index: int) -> LabelState:
    """Take away the anther of this index.

    Raises
    ------
    UsageError
        If there is no such anther.
    """
    _one(state.truth.anthers, index, "anther")
    kept = state.truth.anthers[:index] + state.truth.anthers[index + 1 :]
    return _with_anthers(state, kept)


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
        From base to tip; None takes the photo's own upright middle line.

    Raises
    ------
    UsageError
        If the place lies outside the photo, or the share outside 0..1.
    """
    place = _inside(state.truth, place)
    if not 0 <= cavity_visible <= 1:
        raise UsageError(f"the visible share of an opening lies in 0..1, got {cavity_visible}")
    half_px = max(side_px, LEAST_FLORET_PX) / 2
    box = Box(place.row - half_px, place.column - half_px,
              place.row + half_px, place.column + half_px)  # fmt: skip
    # Id, side and position are worked out for all florets together.
    floret = TrueFloret("", place, box, Side.FRONT, 0.0, clipped, cavity_visible)
    return _with_florets(state, (*(state.truth.florets or ()), floret), axis)


def remove_floret(state: LabelState, index: int, *, axis: Sequence[Point] | None) -> LabelState:
    """Take away the floret of this index; its anthers stay, in no floret or in another.

    Raises
    ------
    UsageError
        If there is no such floret.
    """
    florets = state.truth.florets or ()
    _one(florets, index, "floret")
    return _with_florets(state, florets[:index] + florets[index + 1 :], axis)


def confirm(
    state: LabelState,
    number: int,
    *,
    axis: Sequence[Point] | None,
    stage: AntherStage | None = None,
) -> LabelState:
    """Make the proposal of this number a mark.

    Only what a person can see in the picture is taken over: of an anther its place and stage.

    Parameters
    ----------
    state
        The marks so far.
    number
        Of the proposal.
    axis
        As in :func:`add_floret`.
    stage
        The right stage of an anther, when the proposed one is wrong.

    Raises
    ------
    UsageError
        If there is no such proposal.
    """
    proposal = _proposal(state, number)
    rest = refuse(state, number)
    mark = proposal.mark
    if isinstance(mark, TrueFloret):
        return _with_florets(rest, (*(rest.truth.florets or ()), mark), axis)
    wanted = stage or mark.stage
    if wanted is None:
        raise UsageError("the stage of this anther is not known", cure="Choose its stage first")
    return add_anther(rest, mark.centre, wanted)


def confirm_florets(state: LabelState, *, axis: Sequence[Point] | None) -> LabelState:
    """Make every proposed floret a mark."""
    proposed = [each for each in state.proposals if isinstance(each.mark, TrueFloret)]
    marks = tuple(each.mark for each in proposed if isinstance(each.mark, TrueFloret))
    rest = replace(state, proposals=tuple(p for p in state.proposals if p not in proposed))
    return _with_florets(rest, (*(rest.truth.florets or ()), *marks), axis) if marks else state


def refuse(state: LabelState, number: int) -> LabelState:
    """Drop the proposal of this number.

    Raises
    ------
    UsageError
        If there is no such proposal.
    """
    gone = _proposal(state, number)
    return replace(state, proposals=tuple(p for p in state.proposals if p is not gone))


def finish(state: LabelState) -> LabelState:
    """Confirm that every visible leftover is marked: nothing is left beside the marks.

    The right verdict follows: review when a leftover is marked or a photo problem is named, else
    pass.
    """
    truth = state.truth
    reviewed = truth.anthers or truth.problems
    verdict = Verdict.REVIEW if reviewed else Verdict.PASS
    problems = () if truth.problems is None else truth.problems
    return replace(state, truth=replace(truth, complete=True, verdict=verdict, problems=problems))


def reopen(state: LabelState) -> LabelState:
    """Take back that the photo is finished."""
    return replace(state, truth=_unfinished(state.truth))


def set_problems(state: LabelState, problems: Sequence[QualityProblem]) -> LabelState:
    """Name what is wrong with the photo, an empty sequence when it can be judged."""
    truth = _unfinished(state.truth)
    return replace(state, truth=replace(truth, problems=tuple(sorted(set(problems)))))


def set_spike(state: LabelState, name: str) -> LabelState:
    """Name the spike the photo shows; empty when it is the only photo of its spike."""
    return replace(state, truth=replace(state.truth, spike=name.strip() or None))


def _with_anthers(state: LabelState, anthers: tuple[TrueAnther, ...]) -> LabelState:
    return replace(state, truth=replace(_unfinished(state.truth), anthers=anthers))


def _with_florets(
    state: LabelState, florets: tuple[TrueFloret, ...], axis: Sequence[Point] | None
) -> LabelState:
    truth = state.truth
    in_order = numbered(florets, axis, truth)
    anthers = with_floret_ids(truth.anthers, in_order)
    return replace(state, truth=replace(truth, florets=in_order or None, anthers=anthers))


def _unfinished(truth: PhotoTruth) -> PhotoTruth:
    return replace(truth, complete=False, verdict=None)


def _inside(truth: PhotoTruth, place: Point) -> Point:
    """Return the place to the tenth of a pixel that truth files keep; refuse one outside."""
    if not (0 <= place.row <= truth.height and 0 <= place.column <= truth.width):
        raise UsageError(
            f"x {place.column:g}, y {place.row:g} lies outside the photo",
            cure=f"It is {truth.width} wide and {truth.height} high",
        )
    return Point(round(place.row, 1), round(place.column, 1))


def _one(marks: Sequence[T], index: int, kind: str) -> T:
    if not 0 <= index < len(marks):
        raise UsageError(f"there is no {kind} {index + 1}", cure="Load the photo again")
    return marks[index]


def _swapped(
    anthers: tuple[TrueAnther, ...], index: int, new: TrueAnther
) -> tuple[TrueAnther, ...]:
    return (*anthers[:index], new, *anthers[index + 1 :])


def _proposal(state: LabelState, number: int) -> Proposal:
    for proposal in state.proposals:
        if proposal.number == number:
            return proposal
    raise UsageError(f"there is no suggestion {number}", cure="Load the photo again")
