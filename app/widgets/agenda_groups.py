"""Shows groups of tasks, leads to their spikes, and gives them as a calendar file."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.access import Action
from spikecheck.bookkeeping.group_text import group_text
from spikecheck.language import _, in_language, language, ngettext
from spikecheck.season.calendar_file import agenda_calendar
from visit import Picked, current_visit
from who import require_here
from widgets.plain import faint, strong

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.season.agenda import TaskGroup
    from spikecheck.store import Store

_FIRST_SHOWN = 8
_MORE = 30
_SENTENCES = 3


def show_groups(groups: Sequence[TaskGroup], *, key: str) -> None:
    """Show the first groups, and a button for more of them."""
    counter = f"shown-{key}"
    shown = st.session_state.get(counter, _FIRST_SHOWN)
    for group in groups[:shown]:
        _show_group(group)
    if len(groups) > shown:
        st.button(
            _("Show more ({n} left)").format(n=len(groups) - shown),
            key=f"more-{key}",
            on_click=_show_more,
            args=(counter, shown),
            width="stretch",
        )


def offer_calendar(store: Store, groups: Sequence[TaskGroup]) -> None:
    """Show a button that makes the calendar file when it is pressed."""
    reader = language()

    def made() -> bytes:
        # Asked for after the run of the page, where nobody reads.
        with in_language(reader):
            return agenda_calendar(groups, now=datetime.now(UTC), store=store.identity())

    st.download_button(
        _("Calendar file of all this"),
        made,
        file_name="crossing.ics",
        mime="text/calendar",
        on_click="ignore",
        width="stretch",
    )
    st.caption(_("For any calendar program; a newer file moves what an older one brought."))


def _show_group(group: TaskGroup) -> None:
    told = group_text(group)
    with st.container(border=True, gap="xsmall"):
        strong(group.title)
        for sentence in told.sentences[:_SENTENCES]:
            st.text(sentence)
        others = len(told.sentences) - _SENTENCES
        if others > 0:
            faint(
                ngettext(
                    "The other time is later.", "The other {n} times are later.", others
                ).format(n=others)
            )
        for remark in told.remarks:
            faint(remark)
        if st.button(
            ngettext("Go to this spike", "Go to these spikes", len(group.tasks)),
            key=f"group-{group.state}-{group.kind}-{group.cross}-{group.day}",
            width="stretch",
        ):
            current_visit().pick(
                Picked(
                    f"{group.to_do}: {group.title}",
                    tuple((group.cross, number) for number in group.spikes),
                )
            )
            st.switch_page("screens/spikes.py")


def _show_more(counter: str, shown: int) -> None:
    require_here(Action.SEE_RECORDS)
    st.session_state[counter] = shown + _MORE
