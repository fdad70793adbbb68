"""Marking one's own photos: what is really there, click by click."""

from __future__ import annotations

import streamlit as st

import resources
from label_visit import LabelVisit, current_label_visit
from spikecheck.access import Action
from spikecheck.errors import SpikecheckError
from spikecheck.labelling.progress import Marking, folder_progress
from spikecheck.language import N_, _, ngettext, percent
from visit import current_visit
from who import require_here
from widgets.by import ask_name, name_given
from widgets.label_finish import show_finish
from widgets.label_marks import show_marks, show_proposals
from widgets.label_picture import show_picture
from widgets.plain import Tone, notice

_SIGNS = {
    Marking.OPEN: "\N{WHITE CIRCLE}",
    Marking.BEGUN: "\N{CIRCLE WITH LEFT HALF BLACK}",
    Marking.FINISHED: "\N{BLACK CIRCLE}",
    Marking.DAMAGED: "\N{MULTIPLICATION X}",
}
_SHARES = (1, 5)  # per cent
_FIRST = N_("Mark what you saw in the hand lens, not what the program says.")
_HOW = N_(
    "A mark means: an anther, or a piece of one, is really there and can be seen in this photo. "
    "Look into every floret before you say that nothing is missing. If you are not sure, leave "
    "the photo unfinished: unfinished photos count for nothing. Each mark is saved at once in a "
    "small file beside the photo; the photo itself is never changed."
)


def show() -> None:
    """Show the photos of the folder, one of them open."""
    require_here(Action.LABEL)
    st.header(_("Mark your own photos"))
    folder = resources.label_folder()
    if folder is None:
        notice(_("Start this page with: spikecheck label FOLDER"), tone=Tone.HINT)
        return
    try:
        visit = current_label_visit(folder)
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)
        return
    st.markdown(f"**{_(_FIRST)}**")
    with st.expander(_("What a mark means")):
        st.markdown(_(_HOW))
    who = current_visit()
    ask_name(_("Your name; it stays with the marks"), key="by")
    who.by = name_given("by")
    _choose_photo(visit)
    if visit.problem:
        notice(visit.problem, tone=Tone.PROBLEM)
        if visit.session.opened is not None:
            st.button(_("Load this photo again"), on_click=visit.open, args=(visit.session.opened,))
    if visit.session.opened is None:
        return
    if not who.by.strip():
        notice(_("Give your name above before you mark anything."), tone=Tone.HINT)
    try:
        show_picture(visit)
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)
        return
    show_marks(visit)
    show_proposals(visit)
    show_finish(visit)


def _choose_photo(visit: LabelVisit) -> None:
    """Show how far the folder is and which photo is open; any other can be opened."""
    photos = visit.session.photos
    progress = folder_progress(photos)
    signs = [_SIGNS[each.marking] for each in progress.photos]
    st.text(
        _(
            "{finished} of {photos} photos finished. Spikes with a leftover: "
            "{leftover_spikes}; clean: {clean_spikes}."
        ).format(
            finished=len(progress.finished),
            photos=len(photos),
            leftover_spikes=progress.leftover_spikes,
            clean_spikes=progress.clean_spikes,
        )
    )
    st.caption(
        " ".join(
            (
                ngettext(
                    "For a promise of {share}: {n} more spike with a leftover.",
                    "For a promise of {share}: {n} more spikes with a leftover.",
                    lacking,
                )
                if lacking
                else _("For a promise of {share}: enough.")
            ).format(share=percent(share / 100), n=lacking)
            for share in _SHARES
            for lacking in [progress.lacking(share / 100)]
        )
    )
    opened = visit.session.opened
    if opened is None and not visit.problem:
        first = next((n for n, each in enumerate(progress.photos)
                      if each.marking is not Marking.FINISHED), 0)  # fmt: skip
        visit.open(photos[first])
        opened = visit.session.opened
    key = "label-photo"
    if opened is not None:
        st.session_state[key] = photos.index(opened)

    def chosen() -> None:
        require_here(Action.LABEL)
        visit.open(photos[st.session_state[key]])

    st.selectbox(
        _("Photo"),
        range(len(photos)),
        format_func=lambda n: f"{signs[n]} {photos[n].name}",
        key=key,
        on_change=chosen,
        help=_("● finished, ◐ begun, ○ not marked, ✕ truth file not usable"),
    )
    if opened is None:
        return
    here = photos.index(opened)
    with st.container(horizontal=True):
        for words, there in ((_("Photo before"), here - 1), (_("Next photo"), here + 1)):
            inside = 0 <= there < len(photos)
            st.button(
                words,
                disabled=not inside,
                on_click=visit.open,
                args=(photos[there if inside else here],),
            )


show()
