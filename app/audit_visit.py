"""What one browser tab remembers of an audit."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.language import N_
from spikecheck.supervision.gallery_choice import GalleryChoice

if TYPE_CHECKING:
    from spikecheck.audit import SpikeName
    from spikecheck.vocabulary import Point
    from spikecheck.vocabulary.audit_steps import LeftoverMark

_KEY = "audit-visit"


class Part(StrEnum):
    """Parts of the audit page."""

    OVERVIEW = "overview"
    GALLERY = "gallery"
    SAMPLE = "sample"
    READING = "reading"
    RESULT = "result"
    CHARTS = "charts"


PART_WORDS = {
    Part.OVERVIEW: N_("Overview"),
    Part.GALLERY: N_("Gallery"),
    Part.SAMPLE: N_("Sample"),
    Part.READING: N_("Second reading"),
    Part.RESULT: N_("Result"),
    Part.CHARTS: N_("Charts"),
}


@dataclass(slots=True)
class Marking:
    """What a person has marked on the photos of one spike, and what is enlarged.

    Parameters
    ----------
    spike, check
        Which one, and the check that its photos are of; None before any.
    marks
        Where leftovers were tapped.
    looked_at
        Middle of what is enlarged, by the digest of the photo; whole photos are left out.
    """

    spike: SpikeName | None = None
    check: int | None = None
    marks: list[LeftoverMark] = field(default_factory=list)
    looked_at: dict[str, Point] = field(default_factory=dict)

    def turn_to(self, spike: SpikeName, check: int | None) -> None:
        """Begin with the photos of a check of ``spike``, unless it is the one already."""
        if (self.spike, self.check) != (spike, check):
            self.spike, self.check, self.marks, self.looked_at = spike, check, [], {}


@dataclass(slots=True)
class AuditVisit:
    """One person's audit in one browser tab.

    Parameters
    ----------
    session
        Id of the session; None before one is chosen.
    part
        The part of the page that is open.
    choice, page
        What the gallery is narrowed to, and the number of its page from 0.
    opened
        The spike that is shown large in the gallery, or None.
    reading, deciding
        What is marked in the second reading, and for a decision.
    told
        What was done last, one line each.
    problems
        What went wrong in the last try, one line each.
    recorded
        How many times something was recorded; a second tap is known by it.
    """

    session: str | None = None
    part: Part = Part.OVERVIEW
    choice: GalleryChoice = field(default_factory=GalleryChoice)
    page: int = 0
    opened: SpikeName | None = None
    reading: Marking = field(default_factory=Marking)
    deciding: Marking = field(default_factory=Marking)
    told: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()
    recorded: int = 0

    def choose_session(self, session: str) -> None:
        """Turn to another session, from its beginning."""
        if session != self.session:
            self.session, self.page, self.opened = session, 0, None
            self.choice, self.told, self.problems = GalleryChoice(), (), ()

    def go_to(self, part: Part) -> None:
        """Open a part of the page; what was told is told no more."""
        self.part, self.told, self.problems = part, (), ()

    def narrow(self, choice: GalleryChoice) -> None:
        """Narrow the gallery; it begins with its first page."""
        if choice != self.choice:
            self.choice, self.page, self.opened = choice, 0, None


def current_audit() -> AuditVisit:
    """Return this tab's audit."""
    if _KEY not in st.session_state:
        st.session_state[_KEY] = AuditVisit()
    visit: AuditVisit = st.session_state[_KEY]
    return visit
