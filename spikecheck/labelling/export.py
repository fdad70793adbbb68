"""Copies finished photos with their truth files to a folder that networks can be fitted on."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

from spikecheck.errors import CalibrationError, OutputError, UsageError
from spikecheck.labelling.label_file import label_path

if TYPE_CHECKING:
    from pathlib import Path

    from spikecheck.labelling.progress import FolderProgress


def export_labels(progress: FolderProgress, folder: Path) -> tuple[Path, ...]:
    """Copy every finished photo and its truth file, byte for byte.

    Parameters
    ----------
    progress
        The photos.
    folder
        Where to; made where it lacks. What is there already and the same is left alone.

    Returns
    -------
    tuple of Path
        The photos there.

    Raises
    ------
    CalibrationError
        If no photo is finished.
    UsageError
        If the folder is the photos' own, or holds another photo of the same name.
    OutputError
        If it cannot be written.
    """
    if not progress.finished:
        raise CalibrationError(
            "no photo is finished, so there is nothing to export",
            cure="Mark the leftovers of a photo and say that nothing is missing",
        )
    try:
        folder.mkdir(parents=True, exist_ok=True)
        return tuple(_copy_pair(each.photo, folder) for each in progress.finished)
    except OSError as error:
        raise OutputError(
            f"the photos cannot be copied ({error.strerror})",
            where=str(folder),
            cure="Name a folder that you may write to, on a disk with room",
        ) from error


def _copy_pair(photo: Path, folder: Path) -> Path:
    if folder.resolve() == photo.parent.resolve():
        raise UsageError(
            "is the folder of the photos themselves", where=str(folder), cure="Name another one"
        )
    target = folder / photo.name
    if target.exists() and target.read_bytes() != photo.read_bytes():
        raise UsageError(
            "another photo of this name is there already",
            where=str(target),
            cure="Name an empty folder, or rename the photo together with its truth file",
        )
    for source in (photo, label_path(photo)):
        part = folder / f".{source.name}.part"
        try:
            shutil.copyfile(source, part)
            part.replace(folder / source.name)
        finally:
            part.unlink(missing_ok=True)
    return target
