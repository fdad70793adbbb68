"""Packs a picture into the bytes of an image file."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

from PIL import Image

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_JPEG_QUALITY = 90  # above it files grow fast and nobody sees the difference (common practice)


def encode_jpeg(
    pixels: NDArray[np.uint8], *, quality: int = _JPEG_QUALITY, comment: str = ""
) -> bytes:
    """Return ``pixels`` as a JPEG file, with full colour resolution: marks are small and coloured.

    Parameters
    ----------
    pixels
        uint8 array of shape (rows, columns, 3), RGB, sRGB encoded.
    quality
        1..95, as Pillow counts it.
    comment
        Text that travels in the file and is not seen.
    """
    file = BytesIO()
    Image.fromarray(pixels).save(file, "JPEG", quality=quality, subsampling=0, comment=comment)
    return file.getvalue()
