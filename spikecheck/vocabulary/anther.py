"""A leftover anther."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError

if TYPE_CHECKING:
    from spikecheck.vocabulary.geometry import Box, Point


class AntherStage(StrEnum):
    """Stage of an anther by its look; order of ripening."""

    GREEN = "green"
    YELLOW = "yellow"
    DEHISCED = "dehisced"


@dataclass(frozen=True, slots=True)
class Anther:
    """One leftover anther, whole or broken.

    Parameters
    ----------
    floret
        Id of the floret it sits in or hangs from; None when it clings elsewhere.
    centre
        Middle of its visible part.
    box
        Extent of its visible part.
    length_mm
        Length of the visible part, mm; None without a scale.
    stage
        Stage by its look.
    near_anthesis
        Whether pollen may be out or close to it: yellow-green or later.
    broken
        Whether only a piece of it is there.
    score
        How sure the finder is that it is an anther, 0..1.

    Raises
    ------
    UsageError
        If the score is outside 0..1 or the length is not positive.
    """

    floret: str | None
    centre: Point
    box: Box
    length_mm: float | None
    stage: AntherStage
    near_anthesis: bool
    broken: bool
    score: float

    def __post_init__(self) -> None:
        if not 0 <= self.score <= 1:
            raise UsageError(f"an anther's score lies in 0..1, got {self.score}")
        if self.length_mm is not None and self.length_mm <= 0:
            raise UsageError(f"an anther's length is positive, got {self.length_mm} mm")
