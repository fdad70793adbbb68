"""Changes of the marks of one photo, as functions of the state: anthers, and when it is finished.

A change of an anther takes back that the photo is finished: what was confirmed was another state.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from spikecheck.labelling.florets import floret_at
from spikecheck.labelling.places import inside, one
from spikecheck.language import N_
from spikecheck.vocabulary import TrueAnther, Verdict

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.labelling.state import LabelState
    from spikecheck.vocabulary import AntherStage, PhotoTruth, Point, QualityProblem


def add_anther(state: LabelState, place: Point, stage: AntherStage) -> LabelState:
    """Mark an anther at ``place``.

    Raises
    ------
    UsageError
        If the place lies outside the photo.
    """
    truth = state.truth
    place = inside(truth, place)
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
    place = inside(state.truth, place)
    old = one(state.truth.anthers, index, N_("anther"))
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
    old = one(state.truth.anthers, index, N_("anther"))
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
    one(state.truth.anthers, index, N_("anther"))
    kept = state.truth.anthers[:index] + state.truth.anthers[index + 1 :]
    return _with_anthers(state, kept)


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


def _unfinished(truth: PhotoTruth) -> PhotoTruth:
    return replace(truth, complete=False, verdict=None)


def _swapped(
    anthers: tuple[TrueAnther, ...], index: int, new: TrueAnther
) -> tuple[TrueAnther, ...]:
    return (*anthers[:index], new, *anthers[index + 1 :])
