"""A person's answers to proposals: only what is confirmed becomes a mark."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.labelling.edits import add_anther
from spikecheck.labelling.floret_edits import with_florets
from spikecheck.language import _
from spikecheck.vocabulary import TrueFloret

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.labelling.state import LabelState, Proposal
    from spikecheck.vocabulary import AntherStage, Point


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
        As in :func:`~.floret_edits.add_floret`.
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
        return with_florets(rest, (*(rest.truth.florets or ()), mark), axis)
    wanted = stage or mark.stage
    if wanted is None:
        raise UsageError(
            _("the stage of this anther is not known"), cure=_("Choose its stage first")
        )
    return add_anther(rest, mark.centre, wanted)


def confirm_florets(state: LabelState, *, axis: Sequence[Point] | None) -> LabelState:
    """Make every proposed floret a mark."""
    proposed = [each for each in state.proposals if isinstance(each.mark, TrueFloret)]
    marks = tuple(each.mark for each in proposed if isinstance(each.mark, TrueFloret))
    rest = replace(state, proposals=tuple(p for p in state.proposals if p not in proposed))
    return with_florets(rest, (*(rest.truth.florets or ()), *marks), axis) if marks else state


def refuse(state: LabelState, number: int) -> LabelState:
    """Drop the proposal of this number.

    Raises
    ------
    UsageError
        If there is no such proposal.
    """
    gone = _proposal(state, number)
    return replace(state, proposals=tuple(p for p in state.proposals if p is not gone))


def _proposal(state: LabelState, number: int) -> Proposal:
    for proposal in state.proposals:
        if proposal.number == number:
            return proposal
    raise UsageError(
        _("there is no suggestion {number}").format(number=number), cure=_("Load the photo again")
    )
