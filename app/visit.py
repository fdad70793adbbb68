"""What one browser tab remembers from screen to screen.

Streamlit forgets a widget's value when its screen is left, so the values that matter live here and
are put back when the screen is shown again.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from enum import Enum

import streamlit as st

from draft import Draft

_KEY = "visit"


class Step(Enum):
    """Where on the Check screen something can go wrong; the line about it is shown there."""

    PHOTOS = "photos"
    CHECK = "check"
    RECORD = "record"
    OVERRIDE = "override"


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
    draft
        The spike that is being checked.
    round
        Counts up when the inputs for photos are to be emptied.
    problems
        What went wrong in the last try of each step, one line each.
    """

    cross: str | None = None
    spike: int = 1
    by: str = ""
    draft: Draft = field(default_factory=Draft)
    round: int = 0
    problems: defaultdict[Step, list[str]] = field(default_factory=lambda: defaultdict(list))

    def begin(self, spike: int) -> None:
        """Begin with ``spike``, without photos."""
        self.spike = spike
        self.draft = Draft()
        self.problems.clear()
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
