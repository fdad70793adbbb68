"""A list of spikes, a line each: the most urgent first, with what it waits for and until when."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.access import Action
from spikecheck.bookkeeping.standing import last_step
from spikecheck.language import _, day
from spikecheck.season.agenda import TaskState
from spikecheck.vocabulary.words import spike_name
from visit import current_visit
from who import require_here
from widgets.plain import literal
from widgets.step_form import season_now
from widgets.style import ALARM, ROW, ROWS

if TYPE_CHECKING:
    from collections.abc import Sequence
    from zoneinfo import ZoneInfo

    from spikecheck.season.agenda import Task
    from spikecheck.store import Store
    from spikecheck.vocabulary import SpikeRecord
    from visit import SpikeName

    _Line = tuple[SpikeRecord, Task | None]

_ON_A_PAGE = 25
_URGENCY = {state: place for place, state in enumerate(TaskState)}
_END = datetime.max.replace(tzinfo=UTC)


def show_rows(store: Store, records: Sequence[SpikeRecord], *, key: str) -> None:
    """Show a page of spikes, each with a tap to its own page.

    Parameters
    ----------
    store
        Where the temperatures and numbers behind the due moments are.
    records
        All spikes of the list, in any order.
    key
        Tells this list from others: each remembers its page.

    Raises
    ------
    SpikecheckError
        If the records cannot be read.
    """
    season = season_now(store)
    tasks = {(task.cross, task.spike): task for task in season.agenda(records)}
    lines = [(record, tasks.get((record.cross, record.spike))) for record in records]
    lines.sort(key=_urgency)
    counter = f"page-of-{key}"
    last = max((len(lines) - 1) // _ON_A_PAGE, 0)
    page = min(st.session_state.get(counter, 0), last)
    first = page * _ON_A_PAGE
    shown = lines[first : first + _ON_A_PAGE]
    if last:
        st.caption(
            _("Spikes {first} to {last} of {n}").format(
                first=first + 1, last=first + len(shown), n=len(lines)
            )
        )
    with st.container(gap=None, key=ROWS):
        for record, task in shown:
            _show_row(record, task, season.zone)
    if last:
        with st.container(horizontal=True):
            _turn(_("Page before"), counter, page - 1, possible=page > 0)
            _turn(_("Next page"), counter, page + 1, possible=page < last)


def _urgency(line: _Line) -> tuple[int, date, datetime, str, int]:
    record, task = line
    if task is None:
        return len(_URGENCY), date.max, _END, record.cross, record.spike
    due = task.last or _END
    return _URGENCY[task.state], task.day or date.max, due, record.cross, record.spike


def _show_row(record: SpikeRecord, task: Task | None, zone: ZoneInfo) -> None:
    name = f"{record.cross}/{record.spike}"
    with st.container(horizontal=True, vertical_alignment="center", key=f"{ROW}-{name}"):
        st.html(f"<div>{_told(record, task, zone)}</div>", width="stretch")
        st.button(
            _("Open"),
            key=f"open-{name}",
            type="tertiary",
            on_click=_open,
            args=((record.cross, record.spike),),
        )


def _open(spike: SpikeName) -> None:
    require_here(Action.SEE_RECORDS)
    current_visit().open_spike(spike)


def _told(record: SpikeRecord, task: Task | None, zone: ZoneInfo) -> str:
    name = spike_name(record.cross, record.spike)
    words, moment = last_step(record)
    when = "" if moment is None else f" {day(moment.astimezone(zone))}"
    known = f"<small>{literal(words + when)}</small>"
    if task is None:
        return f"<strong>{literal(name)}</strong> {known}"
    to_do = literal(replace(task, remark="").sentence)
    if task.state is TaskState.OVERDUE:
        overdue = literal(_("Overdue."))
        to_do = f'<span style="color:{ALARM}"><strong>{overdue}</strong> {to_do}</span>'
    return f"<strong>{literal(name)}</strong> {to_do} {known}"


def _turn(label: str, counter: str, page: int, *, possible: bool) -> None:
    if possible:
        st.button(label, key=f"{counter}-{label}", on_click=_open_page, args=(counter, page))


def _open_page(counter: str, page: int) -> None:
    require_here(Action.SEE_RECORDS)
    st.session_state[counter] = page
