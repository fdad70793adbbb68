"""Which of a crop's numbers may not be above which others."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

_RISING = (
    ("receptive_first", "receptive_best", "receptive_last"),
    ("harvest_least", "harvest", "harvest_most"),
    ("valid_near_anthesis", "valid_clean"),
    ("stage_least", "stage_most"),
)
# The base lies below the day that is assumed, or nothing would ever be reached on such days.
_STRICTLY_RISING = (("base_c", "assumed_c"), ("base_c", "upper_c"))


def order_problem(values: Mapping[str, float]) -> str:
    """Return what contradicts what in ``values``, or nothing."""
    for names in _RISING:
        for low, high in pairwise(names):
            if values[low] > values[high]:
                return f"{low} {values[low]:g} is above {high} {values[high]:g}"
    for low, high in _STRICTLY_RISING:
        if values[low] >= values[high]:
            return f"{low} {values[low]:g} is not below {high} {values[high]:g}"
    return ""
