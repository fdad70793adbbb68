"""From a file, or its bytes, to a photo."""

from __future__ import annotations

import hashlib
from contextlib import nullcontext
from typing import TYPE_CHECKING

from spikecheck.photo.decoder import damage_named, open_image
from spikecheck.photo.exif import exif_orientation, exif_taken_at
from spikecheck.photo.file_bytes import read_bytes, refuse_large_file
from spikecheck.photo.pixels import srgb_pixels, turned_upright
from spikecheck.photo.quiet import alone_and_quiet, standard_error_dropped
from spikecheck.vocabulary.photo import Photo

if TYPE_CHECKING:
    from pathlib import Path

    from spikecheck.thresholds import ReadingThresholds


def read_photo(path: Path, *, thresholds: ReadingThresholds) -> Photo:
    """Read a photo file: JPEG, PNG, WebP, TIFF or HEIC; its content decides, not its ending.

    Raises
    ------
    PhotoError
        If it is missing, no photo, damaged, an animation or too large.
    """
    data = read_bytes(path, thresholds=thresholds)
    return decode_photo(data, file=str(path), thresholds=thresholds)


def decode_photo(data: bytes, *, file: str, thresholds: ReadingThresholds) -> Photo:
    """Make a photo from the bytes of its file.

    Parameters
    ----------
    data
        The whole file.
    file
        Its name, for the record and for messages.
    thresholds
        Limits on its size.

    Returns
    -------
    Photo
        8 bit, sRGB, upright, transparent parts on white.

    Raises
    ------
    PhotoError
        If it is no photo, damaged, an animation or too large.
    """
    refuse_large_file(len(data), file=file, thresholds=thresholds)
    with alone_and_quiet():
        image = open_image(data, file=file, thresholds=thresholds)
        libtiff = image.format == "TIFF"
        with damage_named(file), standard_error_dropped() if libtiff else nullcontext():
            taken_at = exif_taken_at(image)  # the TIFF decoder forgets it while decoding
            image.load()
            orientation = exif_orientation(image)
            pixels = srgb_pixels(image, file=file)
        image.close()
        del image  # its pixels, before the turned copy needs room
        pixels = turned_upright(pixels, orientation)
    return Photo(file, hashlib.sha256(data).hexdigest(), pixels, taken_at)
