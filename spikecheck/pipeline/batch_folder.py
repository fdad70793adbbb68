"""Lists the photos of a folder."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.language import _

if TYPE_CHECKING:
    from pathlib import Path

OVERLAY_ENDING = ".overlay.jpg"
"""Ending of the overlays that are written beside photos; they are no photos."""


def list_photos(folder: Path, *, recursive: bool) -> list[Path]:
    """Return the photos in ``folder`` by name, hidden files and overlays left out.

    Parameters
    ----------
    folder
        Where to look.
    recursive
        Whether to look into its subfolders too; links to folders are not followed.

    Raises
    ------
    UsageError
        If the folder is none, cannot be read or holds no photo.
    """
    from spikecheck.photo import PHOTO_SUFFIXES

    where = str(folder)
    if folder.is_file():
        raise UsageError(
            _("is a file, not a folder"),
            where=where,
            cure=_("Check one photo with the check command"),
        )
    if not folder.is_dir():
        raise UsageError(_("no such folder"), where=where, cure=_("Name a folder of photos"))
    try:
        found = list(folder.rglob("*") if recursive else folder.iterdir())
    except OSError as error:
        raise UsageError(
            _("the folder cannot be read ({reason})").format(reason=error.strerror),
            where=where,
            cure=_("Check your rights"),
        ) from error
    photos = sorted(
        path
        for path in found
        if path.suffix.lower() in PHOTO_SUFFIXES
        and not path.name.lower().endswith(OVERLAY_ENDING)
        and not any(part.startswith(".") for part in path.relative_to(folder).parts)
        and not path.is_dir()
    )
    if not photos:
        cure = "Name a folder that does" if recursive else "Name another, or add --recursive"
        raise UsageError(_("holds no photo"), where=where, cure=cure)
    return photos
