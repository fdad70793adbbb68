"""Reads the tags in a photo: code, place, scale, colour of the light."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.vocabulary import SeenTag
from spikecheck.vocabulary.tag_layout import QR, TAG_HEIGHT_MM, TAG_WIDTH_MM, Rectangle

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.tag_reading.symbols import FoundSymbol
    from spikecheck.thresholds import TagThresholds

_TAG = Rectangle(0.0, 0.0, TAG_WIDTH_MM, TAG_HEIGHT_MM)


def read_tags(pixels: NDArray[np.uint8], *, thresholds: TagThresholds) -> tuple[SeenTag, ...]:
    """Return the tags in a photo.

    Parameters
    ----------
    pixels
        uint8 of shape (rows, columns, 3), RGB, upright.
    thresholds
        How sure scale and colour must be.

    Returns
    -------
    tuple of SeenTag
        From left to right, each code once; none in a photo without a tag. A code is told only if
        the symbol's error correction and the check character both fit. Scale and colour correction
        are None where the tag shows too little, or contradicts itself.
    """
    import cv2

    from spikecheck.tag_reading.symbols import find_symbols

    grey = np.asarray(cv2.cvtColor(pixels, cv2.COLOR_RGB2GRAY), np.uint8)
    return tuple(_read(pixels, grey, found, thresholds) for found in find_symbols(grey))


def _read(
    pixels: NDArray[np.uint8],
    grey: NDArray[np.uint8],
    found: FoundSymbol,
    thresholds: TagThresholds,
) -> SeenTag:
    from spikecheck.tag_reading.grey import correction_of
    from spikecheck.tag_reading.placing import corners_of, mapped, place_tag, rough_homography
    from spikecheck.tag_reading.scale import scale_of

    placing = place_tag(grey, found.corners, thresholds=thresholds)
    homography = rough_homography(found.corners) if placing is None else placing.homography
    outline, symbol = (mapped(homography, corners_of(part))[:, ::-1] for part in (_TAG, QR))
    rows, columns = grey.shape
    return SeenTag(
        code=found.code,
        outline=outline,
        symbol=symbol,
        scale=None
        if placing is None
        else scale_of(placing, (rows, columns), thresholds=thresholds),
        correction=None
        if placing is None
        else correction_of(pixels, placing, thresholds=thresholds),
    )
