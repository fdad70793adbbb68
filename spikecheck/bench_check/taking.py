"""Takes in one photo file: its bytes, their digest, and a small copy to show."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING

from PIL import Image

from spikecheck.photo import decode_photo

if TYPE_CHECKING:
    from spikecheck.thresholds import Thresholds
    from spikecheck.vocabulary import Photo

_PREVIEW_SIDE_PX = 480


@dataclass(frozen=True, slots=True)
class TakenPhoto:
    """One photo that was accepted.

    Parameters
    ----------
    file
        Its name as it came.
    data
        The bytes of the file.
    sha256
        Hex digest of ``data``.
    preview
        The whole picture as a small JPEG: a browser cannot show every kind of file.
    """

    file: str
    data: bytes
    sha256: str
    preview: bytes


def take_photo(data: bytes, *, file: str, thresholds: Thresholds) -> TakenPhoto:
    """Accept a file as a photo.

    Parameters
    ----------
    data, file
        Bytes of the file and its name.
    thresholds
        What can be read.

    Raises
    ------
    PhotoError
        If it cannot be read as a photo.
    """
    photo = decode_photo(data, file=file, thresholds=thresholds.reading)
    return TakenPhoto(file, data, hashlib.sha256(data).hexdigest(), _preview(photo))


def _preview(photo: Photo) -> bytes:
    """Return the whole photo as a small JPEG, the longer side 480 px at most."""
    picture = Image.fromarray(photo.pixels)
    picture.thumbnail((_PREVIEW_SIDE_PX, _PREVIEW_SIDE_PX))
    file = BytesIO()
    picture.save(file, "JPEG")
    return file.getvalue()
