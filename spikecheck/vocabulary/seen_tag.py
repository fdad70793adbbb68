"""A cross tag as it was found in a photo."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from spikecheck.vocabulary.scale import Scale


@dataclass(frozen=True, slots=True)
class ColourCorrection:
    """What turns the tag's grey steps neutral.

    Parameters
    ----------
    gains
        Factors on linear red, green and blue; green is 1, so that lightness stays about as taken.
    spread
        How far the grey steps are from agreeing on them: the widest ratio between a step and the
        gains, less 1.
    steps
        How many grey steps they rest on.

    Raises
    ------
    UsageError
        If a gain is not above 0.
    """

    gains: tuple[float, float, float]
    spread: float
    steps: int

    def __post_init__(self) -> None:
        if not min(self.gains) > 0:
            raise UsageError(f"gains are above 0, got {self.gains}")


@dataclass(frozen=True, slots=True, eq=False)
class SeenTag:
    """One tag that was read.

    Parameters
    ----------
    code
        Its code; the check character fits.
    outline
        Corners of the whole tag where its layout puts them, (row, column), px of the upright
        full-resolution image, float64 of shape (4, 2): upper left, upper right, lower right, lower
        left of the print. They may lie outside of the photo.
    symbol
        Corners of the QR symbol without its quiet zone, alike.
    scale
        Pixels per millimetre at the tag, or None where its marks contradict each other.
    correction
        Colour correction from its grey steps, or None where they contradict each other.
    """

    code: str
    outline: NDArray[np.float64]
    symbol: NDArray[np.float64]
    scale: Scale | None
    correction: ColourCorrection | None
