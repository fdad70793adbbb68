"""Small pictures of overlays, bounded in size however many there are."""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING

from spikecheck.errors import StoreError

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.reports.facts import SessionFacts
    from spikecheck.store import Store
    from spikecheck.store.records import RecordedCheck, RecordedPhoto

ALL_BYTES_MOST = 8_000_000
"""How much all pictures of a report take together, before a file packs them."""

ONE_BYTES_MOST = 40_000
PICTURES_MOST = 1_000
_LONGEST_SIDES_PX = (480, 360, 280, 220, 170, 130, 100, 72)
_QUALITY = 72  # as Pillow counts; the letters on an overlay stay legible (our own judgement)


@dataclass(frozen=True, slots=True)
class SmallPicture:
    """One small picture.

    Parameters
    ----------
    check
        Number of the check.
    photo
        Number of the photo in it, from 1.
    jpeg
        Bytes of a JPEG file; empty where the overlay is missing or damaged.
    width, height
        Of the picture, px.
    """

    check: int
    photo: int
    jpeg: bytes
    width: int = 0
    height: int = 0


@dataclass(frozen=True, slots=True)
class SmallPictures:
    """Small pictures of a session's overlays.

    Parameters
    ----------
    pictures
        Of the check that counts for each spike, in the order of spikes and photos.
    left_out
        How many have no room in a report.
    """

    pictures: tuple[SmallPicture, ...]
    left_out: int = 0

    def of_check(self, check: int) -> tuple[SmallPicture, ...]:
        """Return the pictures of one check."""
        return tuple(one for one in self.pictures if one.check == check)


def make_small_pictures(
    store: Store, facts: SessionFacts, *, on_progress: Callable[[int, int], None] | None = None
) -> SmallPictures:
    """Return small pictures of every spike's overlays.

    The more there are, the smaller they get: together they never take more than
    :data:`ALL_BYTES_MOST`, and beyond :data:`PICTURES_MOST` none is made. An overlay that is
    missing or damaged leaves an empty picture: a report is made all the same, and says so.

    Parameters
    ----------
    store
        Where the overlays are.
    facts
        The session.
    on_progress
        Called after each picture with how many are made and of how many.
    """
    wanted = [
        (check, number, photo)
        for check in facts.latest_checks.values()
        for number, photo in enumerate(check.photos, start=1)
    ]
    kept = wanted[:PICTURES_MOST]
    each = min(ONE_BYTES_MOST, ALL_BYTES_MOST // max(len(kept), 1))
    pictures = []
    for done, (check, number, photo) in enumerate(kept, start=1):
        pictures.append(_picture(store, check, number, photo, most_bytes=each))
        if on_progress is not None:
            on_progress(done, len(kept))
    return SmallPictures(tuple(pictures), len(wanted) - len(kept))


def _picture(
    store: Store, check: RecordedCheck, number: int, photo: RecordedPhoto, *, most_bytes: int
) -> SmallPicture:
    try:
        content = store.overlay(photo)
    except StoreError:
        return SmallPicture(check.id, number, b"")
    jpeg, width, height = shrunk(content, most_bytes=most_bytes)
    return SmallPicture(check.id, number, jpeg, width, height)


def shrunk(content: bytes, *, most_bytes: int) -> tuple[bytes, int, int]:
    """Return a picture file as a small JPEG file, with its width and height, px.

    Parameters
    ----------
    content
        Of an image file.
    most_bytes
        Size of the result; the largest picture that keeps it is taken.

    Returns
    -------
    tuple
        The file is empty where ``content`` is no picture, or even the smallest one is too large.
    """
    from PIL import Image, UnidentifiedImageError

    try:
        with Image.open(BytesIO(content)) as opened:
            # Lets a JPEG file be decoded at a half, a quarter or an eighth, which is much faster.
            opened.draft("RGB", (_LONGEST_SIDES_PX[0], _LONGEST_SIDES_PX[0]))
            image = opened.convert("RGB")
    except (OSError, UnidentifiedImageError, Image.DecompressionBombError):
        return b"", 0, 0
    for longest in _LONGEST_SIDES_PX:
        image.thumbnail((longest, longest), Image.Resampling.LANCZOS)
        file = BytesIO()
        image.save(file, "JPEG", quality=_QUALITY, optimize=True)
        if file.tell() <= most_bytes:
            return file.getvalue(), image.width, image.height
    return b"", 0, 0
