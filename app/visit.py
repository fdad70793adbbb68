"""What one browser tab remembers from screen to screen.

Streamlit forgets a widget's value when its screen is left, so the values that matter live here and
are put back when the screen is shown again.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from enum import Enum

import streamlit as st

from spikecheck.bench_check import Draft

_KEY = "visit"


class Step(Enum):
    """Where something can go wrong; the line about it is shown there."""

    PHOTOS = "photos"
    CHECK = "check"
    RECORD = "record"
    OVERRIDE = "override"
    FIND = "find"
    ENTRY = "entry"
    TAKE_BACK = "take_back"
    SESSION = "session"


SpikeName = tuple[str, int]
"""Id of the cross and number of the spike in it."""


@dataclass(frozen=True, slots=True)
class Picked:
    """Spikes that were picked together, as a group on the agenda is.

    Parameters
    ----------
    title
        What they are called.
    spikes
        The spikes, one or more.
    """

    title: str
    spikes: tuple[SpikeName, ...]


@dataclass(slots=True)
class Visit:
    """One person's work in one browser tab.

    Parameters
    ----------
    cross
        Id of the chosen cross; None before one is chosen.
    spike
        Number of the spike on that cross, from 1.
    by
        Name of the person.
    chosen
        Whether a person chose the spike of this check; else the tag in the photos chooses it.
    numbered
        Whether a person gave the number of the spike; else the next one is proposed.
    draft
        The spike that is being checked.
    taken_up
        Whether the check that the page's address names was looked for.
    round
        Counts up when the inputs for photos are to be emptied.
    problems
        What went wrong in the last try of each step, one line each.
    opened
        The spike whose page is open; None shows the list of spikes.
    picked
        The spikes that the list is to show; None leaves it to the choices above the list.
    list_session, list_cross
        What the list of spikes is narrowed to; None does not narrow it.
    session
        Id of the crossing session of the last step recorded; empty without one.
    recordings
        How many times something of the season was recorded; a second tap is known by it.
    done
        What was recorded last, one line each.
    remarks
        What is to be looked at again after that, one line each.
    """

    cross: str | None = None
    spike: int = 1
    by: str = ""
    chosen: bool = False
    numbered: bool = False
    draft: Draft = field(default_factory=Draft)
    taken_up: bool = False
    round: int = 0
    problems: defaultdict[Step, list[str]] = field(default_factory=lambda: defaultdict(list))
    opened: SpikeName | None = None
    picked: Picked | None = None
    list_session: str | None = None
    list_cross: str | None = None
    session: str = ""
    recordings: int = 0
    done: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()

    def open_spike(self, spike: SpikeName | None) -> None:
        """Show the page of ``spike``, or the list of spikes again."""
        self.opened = spike
        self.forget_outcome()

    def pick(self, picked: Picked) -> None:
        """Show these spikes: the page of the one, or the list of several."""
        alone = len(picked.spikes) == 1
        self.picked = None if alone else picked
        self.open_spike(picked.spikes[0] if alone else None)

    def forget_outcome(self) -> None:
        """Forget what the last try came to."""
        self.problems.clear()
        self.done = self.remarks = ()

    def begin(self, spike: int) -> None:
        """Begin with ``spike`` of the same cross, without photos."""
        self.spike = spike
        self.chosen = self.numbered = False
        self.draft = Draft()
        self.forget_outcome()
        self.round += 1


def current_visit() -> Visit:
    """Return this tab's visit."""
    if _KEY not in st.session_state:
        st.session_state[_KEY] = Visit()
    visit: Visit = st.session_state[_KEY]
    return visit


def remember(key: str, value: object) -> str:
    """Put ``value`` back into the widget ``key`` if Streamlit has forgotten it; return ``key``."""
    if key not in st.session_state:
        st.session_state[key] = value
    return key
