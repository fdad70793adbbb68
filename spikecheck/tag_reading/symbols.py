"""Finds the QR symbols in a photo and decodes them, with zxing-cpp."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.errors import TagError
from spikecheck.vocabulary.tag_code import read_code

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

# A photo is looked at in halves of its size down to this. In a photo good enough to be judged
# (20 px/mm) a module is 16 px wide, and three or four are enough; where blur or noise hides the
# symbol at full size, a smaller one shows it.
_FIRST_LONGEST_PX = 1200


@dataclass(frozen=True, slots=True, eq=False)
class FoundSymbol:
    """A symbol that holds a tag's code.

    Parameters
    ----------
    code
        The code.
    corners
        (x, y) of its upper left, upper right, lower right and lower left corner as printed, px of
        the picture it was looked for in, float64 of shape (4, 2). Good to about a pixel of the
        size it was found at.
    """

    code: str
    corners: NDArray[np.float64]


def find_symbols(grey: NDArray[np.uint8]) -> tuple[FoundSymbol, ...]:
    """Return the tags' symbols in a picture.

    Parameters
    ----------
    grey
        uint8 of shape (rows, columns).

    Returns
    -------
    tuple of FoundSymbol
        From left to right, each code once. Symbols that hold anything but a tag's code are left
        out.

    Notes
    -----
    All sizes are looked at although one has a tag already: another tag would be missed otherwise,
    and that there are two must be told.
    """
    found: dict[str, FoundSymbol] = {}
    for picture, reduced in _sizes(grey):
        found |= {one.code: one for one in _decoded(picture, reduced)}
    return tuple(sorted(found.values(), key=lambda one: float(one.corners[:, 0].mean())))


def _sizes(grey: NDArray[np.uint8]) -> Iterator[tuple[NDArray[np.uint8], int]]:
    """Yield the picture in ever larger sizes, each with how many times it is reduced."""
    reduced = 1
    while max(grey.shape) / reduced > _FIRST_LONGEST_PX:
        reduced *= 2
    while reduced > 1:
        rows, columns = (length - length % reduced for length in grey.shape)
        size = (columns // reduced, rows // reduced)
        whole = grey[:rows, :columns]  # so that a pixel of the smaller one is exactly a square here
        yield np.asarray(cv2.resize(whole, size, interpolation=cv2.INTER_AREA), np.uint8), reduced
        reduced //= 2
    yield grey, 1


def _decoded(picture: NDArray[np.uint8], reduced: int) -> Iterator[FoundSymbol]:
    import zxingcpp

    kinds = zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)
    symbols = zxingcpp.read_barcodes(picture, formats=kinds, try_downscale=False, try_invert=False)
    for symbol in symbols:
        try:
            code = read_code(symbol.text)
        except TagError:
            continue  # another symbol, not a tag's
        place = symbol.position
        corners = [place.top_left, place.top_right, place.bottom_right, place.bottom_left]
        points = np.array([(corner.x, corner.y) for corner in corners], np.float64)
        if not cv2.isContourConvex(points.astype(np.float32)):
            continue  # corners of no flat square: nothing could be placed by them
        # Whole numbers are pixel centres in either picture.
        yield FoundSymbol(code, (points + 0.5) * reduced - 0.5)
