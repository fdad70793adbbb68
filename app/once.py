"""Records what a button asks for once, however often it was tapped."""

from __future__ import annotations

from typing import TYPE_CHECKING

import resources
from spikecheck.errors import SpikecheckError
from spikecheck.language import in_language, language
from visit import current_visit

if TYPE_CHECKING:
    from collections.abc import Callable

    from visit import Step


def record_once(seen: int, step: Step, work: Callable[[], None]) -> None:
    """Do ``work`` unless this visit has recorded something since its button was drawn.

    Two taps may run at the same moment, each in a run of the page of its own: the second waits,
    and finds the work done.

    Parameters
    ----------
    seen
        How many times the visit had recorded when the button was drawn.
    step
        Where to tell what went wrong.
    work
        Records, and notes in the visit what came of it; a refusal counts as not done.
    """
    visit = current_visit()
    # Asking the page for its language lets Streamlit cut a run short for the next tap: asked once,
    # before anything is written, so that no run is cut between the record and its count.
    with in_language(language()), resources.one_writer():
        if seen != visit.recordings:
            return
        visit.forget_outcome()
        try:
            work()
        except SpikecheckError as error:
            visit.problems[step].append(str(error))
            return
        visit.recordings += 1
