"""The truth file beside a photo: read with its digest, and replaced only if nobody else did.

A save is whole or not at all: the text goes to a file beside it first, to the disk, then takes its
name. The photo itself is never opened for writing.
"""

from __future__ import annotations

import hashlib
import json
import os
import threading
from dataclasses import dataclass
from typing import TYPE_CHECKING
from uuid import uuid4

from spikecheck.errors import CalibrationError, OutputError, TruthError
from spikecheck.language import _
from spikecheck.vocabulary import read_truth, write_truth

if TYPE_CHECKING:
    from pathlib import Path

    from spikecheck.vocabulary import PhotoTruth

# One process serves many visitors. Between looking and replacing, another process would have to
# hit the same few milliseconds.
_ONE_SAVE_AT_A_TIME = threading.Lock()


@dataclass(frozen=True, slots=True)
class StoredLabel:
    """What lies beside a photo.

    Parameters
    ----------
    truth
        The marks, or None when there is no file.
    sha256
        Hex digest of the file, or None when there is no file.
    """

    truth: PhotoTruth | None = None
    sha256: str | None = None


def label_path(photo: Path) -> Path:
    """Return the file that holds the marks of ``photo``: the same name, ending in ``.json``."""
    return photo.with_suffix(".json")


def read_label(photo: Path) -> StoredLabel:
    """Read the marks of a photo.

    Raises
    ------
    TruthError
        If the file is no truth file, or holds the marks of another photo of this folder whose name
        differs only in its ending.
    """
    path = label_path(photo)
    if not path.exists():
        return StoredLabel()
    truth = read_truth(path)
    if truth.image != photo.name and photo.with_name(truth.image).is_file():
        raise TruthError(
            _("belongs to {image}, so there is no room for the marks of {photo}").format(
                image=truth.image, photo=photo.name
            ),
            where=str(path),
            cure=_("Rename one of the two photos"),
        )
    return StoredLabel(truth, _digest(path))


def save_label(photo: Path, truth: PhotoTruth | None, *, expected: str | None) -> str | None:
    """Put ``truth`` beside ``photo``, or take the file away when it is None.

    Parameters
    ----------
    photo
        The photo.
    truth
        Its marks. Entries of the file that the project does not know are kept.
    expected
        Digest of the file as it was read or saved last; None when there was none.

    Returns
    -------
    str or None
        Digest of the file as it is now.

    Raises
    ------
    CalibrationError
        If the file is another one by now: somebody else marks this photo too.
    OutputError
        If it cannot be written; the file is as it was.
    """
    path = label_path(photo)
    with _ONE_SAVE_AT_A_TIME:
        try:
            if (_digest(path) if path.exists() else None) != expected:
                raise CalibrationError(
                    _(
                        "somebody else changed the marks of this photo meanwhile; yours were not "
                        "saved"
                    ),
                    where=str(path),
                    cure=_("Load the photo again to see theirs, then make your change"),
                )
            if truth is None:
                path.unlink(missing_ok=True)
                return None
            return _replace(path, truth)
        except OSError as error:
            raise OutputError(
                _("the marks cannot be saved ({reason})").format(reason=error.strerror),
                where=str(path),
                cure=_(
                    "Free space and allow writing to this folder, or copy the photos "
                    "to one that you may write to"
                ),
            ) from error


def _replace(path: Path, truth: PhotoTruth) -> str:
    part = path.with_name(f".{uuid4().hex}.part")
    try:
        write_truth(truth, part)
        _keep_unknown_entries(path, part)
        with part.open("rb+") as file:
            os.fsync(file.fileno())
        digest = _digest(part)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
    return digest


def _keep_unknown_entries(path: Path, part: Path) -> None:
    if not path.exists():
        return
    before = json.loads(path.read_text(encoding="utf-8"))
    now = json.loads(part.read_text(encoding="utf-8"))
    unknown = {name: value for name, value in before.items() if name not in now}
    if unknown:
        part.write_text(json.dumps({**now, **unknown}, indent=1) + "\n", encoding="utf-8")


def _digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()
