"""Places in a photo: points and boxes in pixels of the upright image, row first."""

from __future__ import annotations

from dataclasses import dataclass

from spikecheck.errors import UsageError


@dataclass(frozen=True, slots=True)
class Point:
    """A place in the photo.

    Parameters
    ----------
    row, column
        Distance from the top and from the left edge, px, of the upright full-resolution image;
        whole numbers are pixel centres.
    """

    row: float
    column: float


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle, half open: ``top <= row < bottom``, ``left <= column < right``.

    Parameters
    ----------
    top, left, bottom, right
        Edges, px of the upright full-resolution image.

    Raises
    ------
    UsageError
        If the box has no area.
    """

    top: float
    left: float
    bottom: float
    right: float

    def __post_init__(self) -> None:
        if not (self.bottom > self.top and self.right > self.left):
            raise UsageError(
                f"a box needs area, got rows {self.top} to {self.bottom}, "
                f"columns {self.left} to {self.right}"
            )

    @property
    def centre(self) -> Point:
        """The middle of the box."""
        return Point((self.top + self.bottom) / 2, (self.left + self.right) / 2)

    def contains(self, point: Point) -> bool:
        """Whether ``point`` lies inside."""
        return self.top <= point.row < self.bottom and self.left <= point.column < self.right

    def grown(self, margin_px: float) -> Box:
        """Return the box moved outwards by ``margin_px`` on every side."""
        return Box(
            self.top - margin_px, self.left - margin_px,
            self.bottom + margin_px, self.right + margin_px,
        )  # fmt: skip
