"""The answers to the photo on view, and how long to look on before one counts."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.language import _, ngettext
from spikecheck.vocabulary import Verdict
from widgets.countdown import show_countdown
from widgets.plain import show_problems

if TYPE_CHECKING:
    from practice_visit import PracticeVisit
    from spikecheck.coaching import OnView


def show_answers(visit: PracticeVisit, on_view: OnView, *, marked: bool) -> None:
    """Show the answers; one that comes before its time is refused by the server, kindly.

    They can be pressed all the time. A button that the page itself made pressable after a while
    would lose a tap that falls into the run of the page that does it.
    """
    place = (on_view.session.id, on_view.position)
    waits = on_view.wait_s > 0
    # A container that stays: what follows keeps its place on the page.
    with st.container():
        show_problems([visit.problem] if visit.problem and not waits else [])
    show_countdown(on_view.wait_s, _too_early if visit.problem else _wait, _now())
    for verdict, words, first in (
        (Verdict.REVIEW, _("Review: something is left, or I am not sure"), marked),
        (Verdict.PASS, _("Pass: nothing is left"), not marked),
    ):
        st.button(
            words,
            key=f"practice-{verdict}",
            on_click=visit.answer,
            args=(place, verdict),
            type="primary" if first else "secondary",
            disabled=marked and verdict is Verdict.PASS,
            width="stretch",
        )


def _wait(left_s: int) -> str:
    return ngettext(
        "Look into every floret. You can answer in {n} second.",
        "Look into every floret. You can answer in {n} seconds.",
        left_s,
    ).format(n=left_s)


def _too_early(left_s: int) -> str:
    return ngettext(
        "Not yet: look into every floret for {n} more second.",
        "Not yet: look into every floret for {n} more seconds.",
        left_s,
    ).format(n=left_s)


def _now() -> str:
    return _("Look into every floret. You can answer now.")
