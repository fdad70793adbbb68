"""Before a session: what practice is, where one stands, and the way in."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.access import Action
from spikecheck.coaching import Source
from spikecheck.coaching.history import photos_known
from spikecheck.coaching.standing_words import numbers_words
from spikecheck.language import _, ngettext, percent
from spikecheck.practice import photos_in_session
from who import allowed, require_here
from widgets.plain import Tone, faint, literal, notice, show_problems
from widgets.practice_results import show_curve, show_scores, show_standing

if TYPE_CHECKING:
    from datetime import datetime

    from practice_visit import PracticeVisit
    from spikecheck.coaching import Pool, Progress

_TICK_S = 1.0
_PHOTO_S = 30  # what people take for a photo, roughly (own judgement), for "about so many minutes"


def show_start(visit: PracticeVisit, progress: Progress, pool: Pool | None) -> None:
    """Show how it works, where the person stands, and what begins or goes on."""
    numbers = resources.practice_numbers()
    st.header(_("Practice"))
    _show_how()
    if pool is None or not pool.photos:
        _show_how_to_get_photos()
    else:
        _show_way_in(visit, progress, pool)
    show_problems([visit.problem] if visit.problem else [])
    st.subheader(_("Where you stand"))
    show_standing(progress.sessions)
    if progress.sessions:
        show_scores(progress.sessions)
        show_curve(progress.sessions)
    with st.expander(_("The numbers in force")):
        st.text(numbers_words(numbers))
    if pool is not None:
        _show_pool(progress, pool)


def _show_how() -> None:
    numbers = resources.practice_numbers()
    st.html(
        "<ol style='margin:0 0 0.5rem 1.2rem;padding:0;line-height:1.5'>"
        + "".join(
            f"<li>{literal(line)}</li>"
            for line in (
                _("Look into every floret; tap on each anther that is left, then say review."),
                _("If nothing is left, say pass. If you are not sure, say review."),
                _(
                    "Then you see the truth. Between {least} and {most} of the spikes have a "
                    "leftover; the next session shows more of what you miss."
                ).format(
                    least=percent(numbers.leftovers_least), most=percent(numbers.leftovers_most)
                ),
            )
        )
        + "</ol>"
    )


def _show_way_in(visit: PracticeVisit, progress: Progress, pool: Pool) -> None:
    if progress.block.rest_until is not None:
        _rest(progress.block.rest_until)
        return
    session = progress.under_way
    if session is not None and progress.upcoming is not None:
        st.button(
            _("Go on: photo {n} of {m}").format(n=progress.upcoming + 1, m=len(session.photos)),
            key="practice-go-on",
            on_click=visit.go_on,
            type="primary",
            width="stretch",
        )
        return
    fresh = len(set(pool.photos) - photos_known(progress.sessions))
    photos = min(photos_in_session(resources.practice_numbers()), len(pool.photos))
    st.button(
        ngettext(
            "Begin: {n} photo, about {minutes} min",
            "Begin: {n} photos, about {minutes} min",
            photos,
        ).format(n=photos, minutes=math.ceil(photos * _PHOTO_S / 60)),
        key="practice-begin",
        on_click=visit.begin,
        type="primary",
        width="stretch",
    )
    if not fresh:
        notice(
            _(
                "You have seen every photo there is: practise on, but only photos that are new to "
                "you count for the sign-off. Ask for more."
            ),
            tone=Tone.HINT,
        )


@st.fragment(run_every=_TICK_S)
def _rest(until: datetime) -> None:
    """Tell how long to rest; the whole page comes back when the rest is over."""
    require_here(Action.PRACTISE)
    left_s = (until - resources.moment()).total_seconds()
    if left_s <= 0:
        st.rerun(scope="app")
    minutes, seconds = divmod(math.ceil(left_s), 60)
    notice(
        _(
            "Time for a rest: after a while people miss more. Get up, look into the distance; go "
            "on in {minutes}:{seconds:02} min."
        ).format(minutes=minutes, seconds=seconds),
        tone=Tone.HINT,
    )


def _show_how_to_get_photos() -> None:
    notice(_("There are no photos to practise with yet."), tone=Tone.HINT)
    st.text(_("Render some (60 take a few minutes), then start the page with their folder:"))
    st.code(
        "spikecheck synth practice_photos --kind leftover --kind clean --count 60\n"
        "spikecheck app --practice practice_photos",
        language="sh",
    )
    st.text(_("Your own photos count too, once marked with: spikecheck label FOLDER"))


def _show_pool(progress: Progress, pool: Pool) -> None:
    known = len(photos_known(progress.sessions) & set(pool.photos))
    faint(
        _(
            "{n} photos here, {known} of them seen by you: {rendered} rendered, {reviewed} real "
            "ones reviewed by people."
        ).format(
            n=len(pool.photos),
            known=known,
            rendered=pool.count(source=Source.RENDERED),
            reviewed=pool.count(source=Source.REVIEWED),
        )
    )
    if pool.left_out and allowed(Action.SEE_PRACTICE_OF_OTHERS):
        words = ngettext("{n} photo is left out", "{n} photos are left out", len(pool.left_out))
        with st.expander(words.format(n=len(pool.left_out))):
            for one in pool.left_out:
                st.text(f"{one.path.name}: {one.why}")
