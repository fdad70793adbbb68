"""The marks of the open photo as a list, and what the check suggests."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.access import Action
from spikecheck.labelling import answers, edits, floret_edits
from spikecheck.language import _
from spikecheck.language import number as decimal
from spikecheck.vocabulary import AntherStage, TrueFloret
from who import require_here
from widgets.label_tools import ANTHER_WORDS, stage_words

if TYPE_CHECKING:
    from label_visit import LabelVisit
    from spikecheck.labelling import Proposal
    from spikecheck.vocabulary import TrueAnther


def show_marks(visit: LabelVisit) -> None:
    """Show every mark with what can be changed about it."""
    truth = visit.session.state.truth
    if truth.anthers:
        st.subheader(_("Anthers marked"))
    for index, anther in enumerate(truth.anthers):
        _show_anther(visit, index, anther)
    if truth.florets:
        with st.expander(_("Florets marked: {florets}").format(florets=len(truth.florets))):
            for index, floret in enumerate(truth.florets):
                with st.container(horizontal=True, vertical_alignment="center"):
                    cut = _("{id}, clipped") if floret.clipped else _("{id}, not clipped")
                    st.text(cut.format(id=floret.id), width=120)
                    st.button(
                        _("Remove floret {floret}").format(floret=floret.id),
                        key=f"label-drop-floret-{index}",
                        on_click=partial(_remove_floret, visit, index),
                    )


def show_proposals(visit: LabelVisit) -> None:
    """Show what the check suggests; nothing of it is a mark before it is confirmed."""
    st.subheader(_("What the check suggests"))
    proposals = visit.session.state.proposals
    st.caption(
        _(
            "Mark the photo yourself first, then compare. A suggestion is drawn with a "
            "dashed line and a question mark; it is saved only if you confirm it."
        )
    )
    st.button(_("Let the check look at this photo"), on_click=visit.ask_the_check)
    florets = [each for each in proposals if isinstance(each.mark, TrueFloret)]
    _show_each(visit, [each for each in proposals if each not in florets])
    if florets:
        with st.expander(_("Suggested florets: {florets}").format(florets=len(florets))):
            st.button(
                _("All {florets} suggested florets are right").format(florets=len(florets)),
                on_click=visit.change,
                args=(lambda state: answers.confirm_florets(state, axis=visit.axis),),
            )
            _show_each(visit, florets)


def _show_anther(visit: LabelVisit, index: int, anther: TrueAnther) -> None:
    key = f"label-stage-{index}"
    st.session_state[key] = anther.stage
    with st.container(border=True, horizontal=True, vertical_alignment="bottom"):
        where = (
            _("outside the marked florets")
            if anther.floret is None
            else _("in {floret}").format(floret=anther.floret)
        )
        st.selectbox(
            _("Anther {index}").format(index=index + 1),
            list(AntherStage),
            format_func=stage_words,
            key=key,
            placeholder=_("Choose the stage"),
            on_change=partial(_set_stage, visit, index, key),
            width=250,
            help=where,
        )
        st.button(
            _("Show {index}").format(index=index + 1),
            key=f"label-show-{index}",
            on_click=visit.look_at,
            args=(anther.centre,),
        )
        st.button(
            _("Remove {index}").format(index=index + 1),
            key=f"label-drop-{index}",
            on_click=partial(_remove_anther, visit, index),
        )


def _show_each(visit: LabelVisit, proposals: list[Proposal]) -> None:
    for proposal in proposals:
        with st.container(border=True, horizontal=True, vertical_alignment="center"):
            _show_proposal(visit, proposal)


def _show_proposal(visit: LabelVisit, proposal: Proposal) -> None:
    mark, number = proposal.mark, proposal.number
    if isinstance(mark, TrueFloret):
        words = _("?{number} floret {id}").format(number=number, id=mark.id)
    else:
        told = ANTHER_WORDS[mark.stage]
        words = f"?{number} {_(told)}"
        if proposal.score is not None:
            words += _(", score {score}").format(score=decimal(proposal.score, 2))
    st.text(words, width=200)
    st.button(
        _("Show ?{number}").format(number=number),
        key=f"label-see-{number}",
        on_click=visit.look_at,
        args=(mark.centre,),
    )
    st.button(
        _("It is there: ?{number}").format(number=number),
        key=f"label-confirm-{number}",
        on_click=partial(_confirm, visit, number),
    )
    st.button(
        _("It is not: ?{number}").format(number=number),
        key=f"label-refuse-{number}",
        on_click=partial(_refuse, visit, number),
    )


def _set_stage(visit: LabelVisit, index: int, key: str) -> None:
    require_here(Action.LABEL)
    stage = AntherStage(st.session_state[key])
    visit.change(lambda state: edits.set_stage(state, index, stage))


def _remove_anther(visit: LabelVisit, index: int) -> None:
    require_here(Action.LABEL)
    visit.change(lambda state: edits.remove_anther(state, index))


def _remove_floret(visit: LabelVisit, index: int) -> None:
    require_here(Action.LABEL)
    visit.change(lambda state: floret_edits.remove_floret(state, index, axis=visit.axis))


def _confirm(visit: LabelVisit, number: int) -> None:
    require_here(Action.LABEL)
    visit.change(lambda state: answers.confirm(state, number, axis=visit.axis))


def _refuse(visit: LabelVisit, number: int) -> None:
    require_here(Action.LABEL)
    visit.change(lambda state: answers.refuse(state, number))
