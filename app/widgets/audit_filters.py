"""What the gallery is narrowed to."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import streamlit as st

import resources
from audit_visit import current_audit
from spikecheck.access import Action
from spikecheck.language import N_, _
from spikecheck.supervision.gallery_choice import STAGE_WORDS, GalleryChoice, Stage
from spikecheck.vocabulary import Verdict
from spikecheck.vocabulary.words import verdict_word
from who import require_here

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

_PLACES = {
    "left": N_("left side"),
    "right": N_("right side"),
    "front": N_("facing the camera"),
    "basal": N_("basal third"),
    "central": N_("central third"),
    "apical": N_("apical third"),
}
_SET_BY = {True: N_("set by a person"), False: N_("as computed")}


def show_filters(session: str) -> None:
    """Show the choices, folded away until they are wanted."""
    audit = current_audit()
    records = resources.gallery().records(session)
    people = sorted({n for one in records for n in (one.checked_by, one.emasculated_by)} - {""})
    crosses = sorted({one.cross for one in records})
    narrowed = audit.choice != GalleryChoice()
    told = _("Choose which spikes (narrowed)") if narrowed else _("Choose which spikes")
    with st.expander(told, key="audit-filters"):
        left, right = st.columns(2)
        with left:
            _pick(_("Verdict"), "verdict", list(Verdict), verdict_word)
            _pick(_("Who checked or emasculated"), "person", people, str)
            _pick(_("Cross"), "cross", crosses, str)
            _pick(
                _("Where something was found"), "place", list(_PLACES), lambda one: _(_PLACES[one])
            )
        with right:
            _pick(
                _("Who set the verdict"), "overridden", [True, False], lambda one: _(_SET_BY[one])
            )
            _pick(_("Audit"), "stage", list(Stage), lambda one: _(STAGE_WORDS[one]))
            _choose_risk()
            st.session_state["audit-by-risk"] = audit.choice.by_risk
            st.toggle(_("Riskiest first"), key="audit-by-risk", on_change=_by_risk)
        if narrowed:
            st.button(_("Show all"), on_click=_show_all, key="audit-show-all")
        if audit.choice.tells_of_first_reading:
            st.caption(_("Spikes that wait for a second reading are left out of this choice."))


def _pick(
    words: str, name: str, options: Sequence[Any], told: Callable[[Any], str]
) -> None:  # fmt: skip
    key = f"audit-filter-{name}"

    def chosen() -> None:
        require_here(Action.AUDIT)
        audit = current_audit()
        # The field is one of the choice's own, told by its name.
        audit.narrow(replace(audit.choice, **{name: st.session_state[key]}))

    st.session_state[key] = getattr(current_audit().choice, name)
    # None is one of the choices; while it is chosen, Streamlit shows the placeholder.
    st.selectbox(
        words, [None, *options], format_func=lambda one: _("all") if one is None else told(one),
        key=key, on_change=chosen, placeholder=_("all"),
    )  # fmt: skip


def _choose_risk() -> None:
    key = "audit-risk"
    choice = current_audit().choice
    st.session_state[key] = (round(100 * choice.risk_least), round(100 * choice.risk_most))

    def chosen() -> None:
        require_here(Action.AUDIT)
        least, most = st.session_state[key]
        audit = current_audit()
        audit.narrow(replace(audit.choice, risk_least=least / 100, risk_most=most / 100))

    st.slider(_("Risk of a leftover, per cent"), 0, 100, key=key, on_change=chosen)


def _by_risk() -> None:
    require_here(Action.AUDIT)
    audit = current_audit()
    audit.narrow(replace(audit.choice, by_risk=bool(st.session_state["audit-by-risk"])))


def _show_all() -> None:
    require_here(Action.AUDIT)
    current_audit().narrow(GalleryChoice())
