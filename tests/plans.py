"""Crosses as a plan names them, in one line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.vocabulary.plan import PlannedCross, PlannedParent

if TYPE_CHECKING:
    from typing import Any


def planned(
    name: str = "C-1", female: str = "Ferra", male: str = "Olmo", **details: Any
) -> PlannedCross:
    """A planned cross, of whose parents nothing is known but the names."""
    return PlannedCross(name, PlannedParent(female), PlannedParent(male), **details)
