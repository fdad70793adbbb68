"""Thirds of the spike, in which seed is counted and leftovers are told."""

from __future__ import annotations

from enum import StrEnum


class Third(StrEnum):
    """Third of the spike, from the base."""

    BASAL = "basal"
    CENTRAL = "central"
    APICAL = "apical"


def third_at(position: float) -> Third:
    """Return the third of a place along the spike.

    Parameters
    ----------
    position
        0 at the base, 1 at the tip; a third begins at its lower bound.
    """
    thirds = tuple(Third)
    return thirds[min(int(position * len(thirds)), len(thirds) - 1)]
