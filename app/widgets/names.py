"""What crosses and sessions are called on a page, in whatever script they are written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.language import day, isolated

if TYPE_CHECKING:
    from spikecheck.vocabulary import Cross, CrossingSession


def cross_name(cross: Cross) -> str:
    """Return a cross with its parents, the female one first."""
    return f"{isolated(cross.id)}: {parents(cross)}"


def parents(cross: Cross) -> str:
    """Return the parents of a cross, the female one first."""
    return f"{isolated(cross.female)} / {isolated(cross.male)}"


def session_name(session: CrossingSession) -> str:
    """Return a session with its day and its place."""
    told = f"{isolated(session.id)} · {day(session.day)}"
    return f"{told} · {isolated(session.place)}" if session.place else told
