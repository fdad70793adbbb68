"""Writes overlays to files, and never over a file that is something else."""

from __future__ import annotations

import os
from collections import Counter
from typing import TYPE_CHECKING

from spikecheck.cli.whole_file import write_whole
from spikecheck.errors import OutputError

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from spikecheck.vocabulary import CheckResult, Photo, PhotoResult

OVERLAY_COMMENT = "overlay drawn by spikecheck"
"""Travels in every overlay file; a file without it is not written over."""

_LONGEST_STEM_BYTES = 220  # file systems take names of 255 bytes: the ending and a number fit


def overlay_bytes(photo: Photo, seen: PhotoResult, *, result: CheckResult, number: int) -> bytes:
    """Draw the overlay of photo ``number`` of a result and return it as a JPEG file."""
    from spikecheck.imaging.encoding import encode_jpeg
    from spikecheck.imaging.overlay import draw_overlay

    reasons = [reason for reason in result.reasons if reason.photo in {None, number}]
    drawn = draw_overlay(photo, seen, verdict=result.verdict, reasons=reasons)
    return encode_jpeg(drawn, comment=OVERLAY_COMMENT)


def write_overlays(
    overlays: Sequence[bytes], photos: Sequence[Path], *, folder: Path
) -> list[Path]:
    """Write each overlay as ``<name of the photo>.overlay.jpg``, whole or not at all.

    Parameters
    ----------
    overlays
        Bytes of the overlay files.
    photos
        The photo each belongs to; two of the same name get numbers, a name too long is cut.
    folder
        Where to; made where it lacks.

    Returns
    -------
    list of Path
        The files written.

    Raises
    ------
    OutputError
        If the folder cannot be written, or a file of that name is there that is no overlay.
    """
    files = [folder / name for name in _names(photos)]
    for file in files:
        _refuse_other_file(file)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for overlay, file in zip(overlays, files, strict=True):
            write_whole(file, overlay)
    except OSError as error:
        raise OutputError(
            f"the overlay cannot be written ({error.strerror})",
            where=str(folder.absolute()),
            cure="Name a folder that you may write to after --overlay",
        ) from error
    return files


def _names(photos: Sequence[Path]) -> Iterator[str]:
    seen: Counter[str] = Counter()
    for photo in photos:
        stem = photo.stem
        while len(os.fsencode(stem)) > _LONGEST_STEM_BYTES:
            stem = stem[:-1]
        seen[stem] += 1
        again = f"-{seen[stem]}" if seen[stem] > 1 else ""
        yield f"{stem}{again}.overlay.jpg"


def _refuse_other_file(file: Path) -> None:
    from PIL import Image, UnidentifiedImageError

    if not os.path.lexists(file):
        return
    try:
        with Image.open(file) as image:
            ours = image.info.get("comment") == OVERLAY_COMMENT.encode()
    except (OSError, UnidentifiedImageError):
        ours = False
    if not ours:
        raise OutputError(
            "is there already and is no overlay",
            where=str(file),
            cure="Move it away, or name another folder after --overlay",
        )
