"""Every page there is, what one must be allowed to open it, and where the menu shows it."""

from __future__ import annotations

from dataclasses import dataclass

from spikecheck.access import Action
from spikecheck.language import N_


@dataclass(frozen=True, slots=True)
class Screen:
    """One page.

    Parameters
    ----------
    name
        Name of its file under ``screens``, without suffix; its address ends with it.
    title
        What the menu calls it, not yet translated.
    action
        What one must be allowed to open it; the page itself asks for the same.
    at_hand
        Whether the menu shows it at once; the others stand under "More".
    """

    name: str
    title: str
    action: Action
    at_hand: bool = False


MARKING = Screen("label", N_("Mark photos"), Action.LABEL, at_hand=True)
"""There only where the command named a folder of photos to mark."""

SCREENS = (
    Screen("check", N_("Check"), Action.CHECK, at_hand=True),
    Screen("agenda", N_("Agenda"), Action.SEE_RECORDS, at_hand=True),
    Screen("spikes", N_("Spikes"), Action.SEE_RECORDS, at_hand=True),
    Screen("sessions", N_("Sessions"), Action.SEE_RECORDS),
    Screen("audit", N_("Audit"), Action.AUDIT),
    Screen("practice", N_("Practice"), Action.PRACTISE),
    Screen("records", N_("Records"), Action.SEE_RECORDS),
    Screen("safety", N_("Safety and limits"), Action.READ_CAUTIONS),
)
"""All other pages, in the order of the menu; the first that a person may open greets them."""
