"""Who sits in front of the page, and what that person may do: asked on the server, every time."""

from __future__ import annotations

from spikecheck.access import Action, Person, Role, may, require
from visit import current_visit


def current_person() -> Person:
    """Return the person of this visit.

    Where nobody signs in, the page is served to this machine alone, and whoever sits at it may do
    everything.
    """
    return Person(current_visit().by.strip(), Role.SUPERVISOR, signed_in=False)


def allowed(action: Action) -> bool:
    """Return whether this visit's person may do this: for leaving out what would be refused."""
    return may(current_person().role, action)


def require_here(action: Action) -> Person:
    """Return this visit's person, who may do this.

    Every page asks it before it shows anything, and every callback before it does anything: a
    button that is not shown can still be pressed from outside.

    Raises
    ------
    AccessError
        If the person may not.
    """
    person = current_person()
    require(person, action)
    return person
