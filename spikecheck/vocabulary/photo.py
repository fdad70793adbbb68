"""A photo as every stage sees it: upright, 8 bit, RGB, in sRGB."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.errors import UsageError

if TYPE_CHECKING:
    from datetime import datetime

    from numpy.typing import NDArray

_CHANNELS = 3


@dataclass(frozen=True, slots=True, eq=False)
class Photo:
    """One decoded photo.

    Parameters
    ----------
    file
        Name of the file as the user gave it.
    sha256
        Hex digest of the file's bytes.
    pixels
        uint8 array of shape (rows, columns, 3), RGB, sRGB encoded, EXIF orientation applied.
    taken_at
        When the camera says it was taken, or None.

    Raises
    ------
    UsageError
        If ``pixels`` has another shape or type.
    """

    file: str
    sha256: str
    pixels: NDArray[np.uint8]
    taken_at: datetime | None = None

    def __post_init__(self) -> None:
        shape, dtype = self.pixels.shape, self.pixels.dtype
        if len(shape) != _CHANNELS or shape[2] != _CHANNELS or dtype != np.uint8:
            raise UsageError(f"a photo is uint8 of shape (rows, columns, 3), got {dtype} {shape}")

    @property
    def height(self) -> int:
        """Rows, px."""
        return int(self.pixels.shape[0])

    @property
    def width(self) -> int:
        """Columns, px."""
        return int(self.pixels.shape[1])
