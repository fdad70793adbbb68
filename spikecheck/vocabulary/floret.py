"""One floret of the spike, as seen in one photo."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError

if TYPE_CHECKING:
    from spikecheck.vocabulary.geometry import Box, Point


class Side(StrEnum):
    """Side of the axis the floret stands on, looking at the photo with the tip upwards."""

    LEFT = "left"
    RIGHT = "right"
    FRONT = "front"

    @property
    def letter(self) -> str:
        """First letter of a floret's id: L, R or F."""
        return self.value[0].upper()


class FloretStatus(StrEnum):
    """What the photo says of a floret."""

    CLEAR = "clear"
    ANTHER = "anther"
    NOT_SEEN = "not_seen"
    NOT_CLIPPED = "not_clipped"


@dataclass(frozen=True, slots=True)
class Floret:
    """What a finder reports of one floret, before it is judged.

    Parameters
    ----------
    id
        Letter of the side and number from base to tip on that side, from 1: ``"L3"``.
    centre
        Middle of the cut opening if it is seen, else of the floret.
    box
        The floret's extent.
    side
        Side of the axis.
    position
        Place along the spike, 0 at the base and 1 at the tip.
    clipped
        Whether its top is cut.
    cavity_seen
        Share of the opening that can be looked into, 0..1.
    p_anther
        Calibrated probability that an anther shows in it, 0..1; None when the finder gives none.

    Raises
    ------
    UsageError
        If a share is outside 0..1.
    """

    id: str
    centre: Point
    box: Box
    side: Side
    position: float
    clipped: bool
    cavity_seen: float
    p_anther: float | None = None

    def __post_init__(self) -> None:
        for name, value in (
            ("position", self.position), ("cavity_seen", self.cavity_seen),
            ("p_anther", self.p_anther),
        ):  # fmt: skip
            if value is not None and not 0 <= value <= 1:
                raise UsageError(f"{name} of floret {self.id} lies in 0..1, got {value}")


@dataclass(frozen=True, slots=True)
class JudgedFloret:
    """A floret with what was concluded about it.

    Parameters
    ----------
    floret
        What was seen.
    status
        The conclusion.
    p_leftover
        Probability that at least one anther is left in it, 0..1.
    """

    floret: Floret
    status: FloretStatus
    p_leftover: float

    def __post_init__(self) -> None:
        if not 0 <= self.p_leftover <= 1:
            raise UsageError(
                f"p_leftover of floret {self.floret.id} lies in 0..1, got {self.p_leftover}"
            )
