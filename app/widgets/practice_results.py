"""How practice went: scores in plain words, what is missed, the curve, the sign-off."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.bookkeeping.local_time import local_zone
from spikecheck.coaching import session_chart, standing_of
from spikecheck.coaching.history import answers_of
from spikecheck.coaching.standing_words import numbers_words, signed_off_words, way_words
from spikecheck.coaching.words import score_lines, share_words, trait_words
from spikecheck.language import _, percent
from spikecheck.practice import score
from widgets.chart import show_chart
from widgets.plain import Tone, faint, literal, notice

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from practice_visit import PracticeVisit
    from spikecheck.coaching import Progress
    from spikecheck.store.practice_session import PracticeSession


def show_results(visit: PracticeVisit, progress: Progress) -> None:
    """Show how the session that has just ended went, and where the person stands."""
    st.header(_("How the session went"))
    ended = [one for one in progress.sessions if one.id == visit.ended]
    show_standing(progress.sessions)
    show_scores(ended)
    st.button(
        _("On to the next session"),
        key="practice-home",
        on_click=visit.home,
        type="primary",
        width="stretch",
    )
    show_curve(progress.sessions)


def show_standing(sessions: Sequence[PracticeSession]) -> None:
    """Show the sign-off, or how far it is."""
    numbers = resources.practice_numbers()
    standing = standing_of(sessions, numbers)
    if standing.signed_off is not None:
        notice(signed_off_words(standing.signed_off, local_zone()), tone=Tone.DONE)
        with st.expander(_("Under which numbers")):
            st.text(numbers_words(standing.signed_off.numbers))
        faint(
            _(
                "A sign-off changes no role by itself: it tells your supervisor, who changes it "
                "with the command: spikecheck people change"
            )
        )
    if not standing.in_force:
        if standing.signed_off is not None:
            notice(_("The numbers have changed since then; under the new ones:"), tone=Tone.HINT)
        notice(way_words(standing, numbers), tone=Tone.HINT)


def show_scores(sessions: Sequence[PracticeSession]) -> None:
    """Show the scores of these sessions together, and what was missed."""
    numbers = resources.practice_numbers()
    scores = score([one for each in sessions for one in answers_of(each)], numbers)
    _table(score_lines(scores))
    if scores.misses:
        st.subheader(_("How often it was missed"))
        _table((trait_words(trait), share_words(share)) for trait, share in scores.misses)
    if scores.sensitivity is not None or scores.false_alarms is not None:
        faint(
            _("In brackets the {level} interval: what the share may really be.").format(
                level=percent(numbers.confidence)
            )
        )


def show_curve(sessions: Sequence[PracticeSession]) -> None:
    """Show the learning curve, from the second session on."""
    chart = session_chart(sessions, resources.practice_numbers())
    if chart is not None and len(sessions) > 1:
        show_chart(chart)


def _table(rows: Iterable[tuple[str, str]]) -> None:
    """Show names with values, literally."""
    body = "".join(
        f'<tr><th scope="row" style="text-align:left;padding:0.4rem 0.8rem 0.4rem 0;'
        f'vertical-align:top">{literal(name)}</th>'
        f'<td style="padding:0.4rem 0;vertical-align:top">{literal(value)}</td></tr>'
        for name, value in rows
    )
    st.html(f'<table style="border-collapse:collapse;width:100%;line-height:1.4">{body}</table>')
