"""Embedded colour profiles: phones store Display P3, printers' files CMYK; all become sRGB."""

from __future__ import annotations

from io import BytesIO
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.photo.decoder import DECODER_ERRORS

if TYPE_CHECKING:
    from PIL import ImageCms

_GRID_STEPS = (0, 51, 102, 153, 204, 255)
_NO_CHANGE = 1


def transform_to_srgb(profile: bytes | None, mode: str) -> ImageCms.ImageCmsTransform | None:
    """Return the transform of pixels in ``mode`` to sRGB, or None when there is nothing to do.

    Parameters
    ----------
    profile
        The embedded ICC profile.
    mode
        Pillow mode of the pixels: ``"RGB"``, ``"L"`` or ``"CMYK"``.

    Returns
    -------
    ImageCmsTransform or None
        None without a profile, for one that is damaged or of another kind of colour than the
        pixels (the pixels are then taken as sRGB, as viewers do), and for one that is sRGB itself:
        most photos, whose conversion would only cost time.
    """
    from PIL import ImageCms

    if not profile:
        return None
    try:
        source = ImageCms.ImageCmsProfile(BytesIO(profile))
        transform = ImageCms.buildTransform(source, ImageCms.createProfile("sRGB"), mode, "RGB")
        return None if mode == "RGB" and _changes_nothing(transform) else transform
    except (ImageCms.PyCMSError, *DECODER_ERRORS):
        return None


def _changes_nothing(transform: ImageCms.ImageCmsTransform) -> bool:
    """Whether a grid over all colours moves by no more than one step of 255."""
    from PIL import Image

    colours = np.array(list(product(_GRID_STEPS, repeat=3)), np.uint8)[np.newaxis]
    moved = np.asarray(transform.apply(Image.fromarray(colours)))
    return int(np.abs(moved.astype(np.int16) - colours).max()) <= _NO_CHANGE
