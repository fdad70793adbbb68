"""The bytes of a file, or one line that says why there are none."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.errors import PhotoError
from spikecheck.language import _

if TYPE_CHECKING:
    from pathlib import Path

    from spikecheck.thresholds import ReadingThresholds

_BYTES_PER_MB = 1_000_000


def read_bytes(path: Path, *, thresholds: ReadingThresholds) -> bytes:
    """Return the whole content of ``path``.

    The size is looked up first, so that a file too large is never loaded.

    Raises
    ------
    PhotoError
        If it is missing, no ordinary file, too large or cannot be read.
    """
    where = str(path)
    try:
        if path.is_dir():
            raise PhotoError(
                _("is a folder, not a photo"),
                where=where,
                cure=_("Name one photo in it, or check the whole folder with the batch command"),
            )
        if path.exists() and not path.is_file():
            raise PhotoError(
                _("is not an ordinary file"),
                where=where,
                cure=_("Copy the photo to a folder first"),
            )
        refuse_large_file(path.stat().st_size, file=where, thresholds=thresholds)
        return path.read_bytes()
    except FileNotFoundError as error:
        raise PhotoError(
            _("no such file"), where=where, cure=_("Check the spelling of the name and the folder")
        ) from error
    except OSError as error:
        raise PhotoError(
            _("cannot be read ({reason})").format(reason=error.strerror or error),
            where=where,
            cure=_("Check that the disk is there and that you may open the file"),
        ) from error
    except ValueError as error:  # a NUL in the name
        raise PhotoError(
            _("is no possible file name"), where=where, cure=_("Check the spelling of the name")
        ) from error


def refuse_large_file(size_bytes: int, *, file: str, thresholds: ReadingThresholds) -> None:
    """Refuse a file of more bytes than the limit.

    Raises
    ------
    PhotoError
        If it is too large.
    """
    size_mb = size_bytes / _BYTES_PER_MB
    if size_mb > thresholds.largest_file_mb:
        raise PhotoError(
            _("has {size_mb:.0f} MB, more than the {largest_file_mb:g} MB that are read").format(
                size_mb=size_mb, largest_file_mb=thresholds.largest_file_mb
            ),
            where=file,
            cure=_("Save it as JPEG in the camera's ordinary size"),
        )
