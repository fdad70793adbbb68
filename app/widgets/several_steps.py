"""Records the same step of several spikes that were picked together."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.bookkeeping.next_steps import coming_step
from spikecheck.bookkeeping.spike_names import spikes_named
from spikecheck.errors import SpikecheckError
from spikecheck.language import _
from spikecheck.season.agenda import spike_list
from visit import current_visit
from widgets.plain import Tone, notice
from widgets.step_form import season_now, show_outcome, show_step_form

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.store import Store
    from spikecheck.vocabulary import SpikeRecord


def show_several_steps(store: Store, records: Sequence[SpikeRecord]) -> None:
    """Show what was recorded, and a form for a step of all ``records`` or of some of them."""
    show_outcome()
    if not records or not st.toggle(_("Record the same step of several"), key="several"):
        return
    numbers: defaultdict[str, list[int]] = defaultdict(list)
    for record in records:
        numbers[record.cross].append(record.spike)
    named = st.text_area(
        _("Of which spikes; take out those it did not happen to"),
        "\n".join(f"{cross}/{spike_list(several)}" for cross, several in numbers.items()),
        key=f"several-{current_visit().picked}",
    )
    try:
        spikes = spikes_named(store, filter(str.strip, named.splitlines()))
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)
        return
    if not spikes:
        notice(_("Name one spike or more."), tone=Tone.HINT)
        return
    tasks = {(task.cross, task.spike): task for task in season_now(store).agenda(records)}
    coming = {
        coming_step(record, tasks.get((record.cross, record.spike)))
        for record in records
        if (record.cross, record.spike) in spikes
    }
    show_step_form(store, spikes, coming=coming.pop() if len(coming) == 1 else None)
