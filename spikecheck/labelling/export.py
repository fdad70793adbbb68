"""Copies finished photos with their truth files to a folder that networks can be fitted on.

Such a folder holds ``NAME.jpg`` with ``NAME.json``. A JPEG is copied byte for byte, its EXIF turn
included; any other photo becomes an upright JPEG of high quality.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from spikecheck.errors import CalibrationError, OutputError, UsageError
from spikecheck.labelling.label_file import label_path
from spikecheck.vocabulary import write_truth

if TYPE_CHECKING:
    from pathlib import Path

    from spikecheck.labelling.progress import FolderProgress
    from spikecheck.vocabulary import PhotoTruth

_JPEG = b"\xff\xd8\xff"
_QUALITY = 95  # nothing that an anther's edge needs is lost (common practice)


def export_labels(progress: FolderProgress, folder: Path) -> tuple[Path, ...]:
    """Copy every finished photo and its truth file.

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
    PhotoError
        If a photo cannot be read.
    """
    if not progress.finished:
        raise CalibrationError(
            "no photo is finished, so there is nothing to export",
            cure="Mark the leftovers of a photo and say that nothing is missing",
        )
    try:
        folder.mkdir(parents=True, exist_ok=True)
        return tuple(
            _copy_pair(each.photo, each.truth, folder)
            for each in progress.finished
            if each.truth is not None
        )
    except OSError as error:
        raise OutputError(
            f"the photos cannot be copied ({error.strerror})",
            where=str(folder),
            cure="Name a folder that you may write to, on a disk with room",
        ) from error


def _copy_pair(photo: Path, truth: PhotoTruth, folder: Path) -> Path:
    if folder.resolve() == photo.parent.resolve():
        raise UsageError(
            "is the folder of the photos themselves", where=str(folder), cure="Name another one"
        )
    target = folder / f"{photo.stem}.jpg"
    data = _as_jpeg(photo)
    if target.exists() and target.read_bytes() != data:
        raise UsageError(
            "another photo of this name is there already",
            where=str(target),
            cure="Name an empty folder, or rename the photo together with its truth file",
        )
    for place, write in (
        (target, lambda part: part.write_bytes(data)),
        (label_path(target), lambda part: write_truth(replace(truth, image=target.name), part)),
    ):
        part = folder / f".{place.name}.part"
        try:
            write(part)
            part.replace(place)
        finally:
            part.unlink(missing_ok=True)
    return target


def _as_jpeg(photo: Path) -> bytes:
    data = photo.read_bytes()
    if data.startswith(_JPEG):
        return data
    from spikecheck.imaging.encoding import encode_jpeg
    from spikecheck.photo import decode_photo
    from spikecheck.thresholds import load_thresholds

    decoded = decode_photo(data, file=str(photo), thresholds=load_thresholds().reading)
    return encode_jpeg(decoded.pixels, quality=_QUALITY)
