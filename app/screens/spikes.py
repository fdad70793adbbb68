"""Spikes: a list to choose from, or the page of one."""

from __future__ import annotations

import resources
from spikecheck.access import Action
from spikecheck.errors import SpikecheckError
from visit import current_visit
from who import require_here
from widgets.plain import Tone, notice
from widgets.spike_list import show_spike_list
from widgets.spike_page import show_spike_page


def show() -> None:
    """Show the page of the spike that was opened, or the list."""
    require_here(Action.SEE_RECORDS)
    visit = current_visit()
    try:
        if visit.opened is None:
            show_spike_list(resources.store())
        else:
            show_spike_page(resources.store(), visit.opened)
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)


show()
