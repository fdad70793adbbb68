"""What the camera wrote about the photo: which way is up, and when it was taken.

Cameras and messengers write broken EXIF; whatever cannot be understood counts as absent.
"""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from typing import TYPE_CHECKING

from spikecheck.photo.decoder import DECODER_ERRORS

if TYPE_CHECKING:
    from PIL import Image

UPRIGHT = 1
_ORIENTATION = 0x0112
_EXIF_IFD = 0x8769
_DATE_TIME_ORIGINAL, _OFFSET_TIME_ORIGINAL = 0x9003, 0x9011
_ORIENTATIONS = range(1, 9)


def exif_orientation(image: Image.Image) -> int:
    """Return the EXIF orientation 1..8 that is still to be applied to the decoded pixels.

    The TIFF and HEIC decoders turn the pixels themselves and then say 1, so this has to be asked
    after decoding.
    """
    try:
        orientation = image.getexif().get(_ORIENTATION, UPRIGHT)
    except DECODER_ERRORS:
        return UPRIGHT
    if isinstance(orientation, int) and orientation in _ORIENTATIONS:
        return orientation
    return UPRIGHT


def exif_taken_at(image: Image.Image) -> datetime | None:
    """Return when the photo was taken: DateTimeOriginal with OffsetTimeOriginal.

    Returns
    -------
    datetime or None
        Without a time zone when the camera recorded none: it is then the camera's own clock.
    """
    try:
        tags = image.getexif().get_ifd(_EXIF_IFD)
    except DECODER_ERRORS:
        return None
    try:
        taken = datetime.strptime(  # noqa: DTZ007  (EXIF keeps the zone in a tag of its own)
            _text(tags.get(_DATE_TIME_ORIGINAL)), "%Y:%m:%d %H:%M:%S"
        )
    except ValueError:
        return None
    return taken.replace(tzinfo=_time_zone(_text(tags.get(_OFFSET_TIME_ORIGINAL))))


def _text(value: object) -> str:
    if isinstance(value, bytes):
        value = value.decode("ascii", errors="replace")
    return value.strip(" \0") if isinstance(value, str) else ""


def _time_zone(offset: str) -> timezone | None:
    """Return the zone of ``+HH:MM`` or ``-HH:MM`` (EXIF 2.31), else None."""
    sign, hours, colon, minutes = offset[:1], offset[1:3], offset[3:4], offset[4:]
    try:
        ahead = timedelta(hours=int(hours), minutes=int(minutes))
        zone = timezone(-ahead if sign == "-" else ahead)
    except ValueError:
        return None
    return zone if sign in {"+", "-"} and colon == ":" else None
