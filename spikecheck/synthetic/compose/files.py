"""Writes one photo with its truth and class map; the photo appears last, and whole."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.errors import OutputError
from spikecheck.synthetic.manifest import write_whole
from spikecheck.vocabulary import write_truth

if TYPE_CHECKING:
    from pathlib import Path

    from spikecheck.synthetic.compose.photo import ComposedPhoto


@dataclass(frozen=True, slots=True)
class PhotoFiles:
    """The three files of one photo.

    Parameters
    ----------
    folder
        Where they are.
    name
        Their name without an ending.
    """

    folder: Path
    name: str

    @property
    def photo(self) -> Path:
        """The picture."""
        return self.folder / f"{self.name}.jpg"

    @property
    def truth(self) -> Path:
        """What is in it."""
        return self.folder / f"{self.name}.json"

    @property
    def classes(self) -> Path:
        """Its class map."""
        return self.folder / f"{self.name}.classes.png"

    @property
    def are_there(self) -> bool:
        """Whether the photo was written: it is the last of the three."""
        return self.photo.is_file()


def write_photo(files: PhotoFiles, photo: ComposedPhoto) -> None:
    """Write class map, truth and, last, the picture.

    Raises
    ------
    OutputError
        If a file cannot be written.
    """
    png = _encoded(".png", photo.classes, [cv2.IMWRITE_PNG_COMPRESSION, 3])
    write_whole(files.classes, png)
    write_picture(files, photo)


def write_picture(files: PhotoFiles, photo: ComposedPhoto) -> None:
    """Write the truth and then the picture, without the class map.

    Raises
    ------
    OutputError
        If a file cannot be written.
    """
    draft = files.folder / f".{files.name}.json.part"
    try:
        write_truth(replace(photo.truth, image=files.photo.name), draft)
        draft.replace(files.truth)
    except OSError as error:
        raise OutputError(
            f"cannot be written ({error.strerror})", where=str(files.truth),
            cure="Choose a folder that can be written to and has room",
        ) from error  # fmt: skip
    quality = [cv2.IMWRITE_JPEG_QUALITY, photo.jpeg_quality]
    write_whole(files.photo, _encoded(".jpg", photo.pixels[..., ::-1], quality))


def _encoded(ending: str, pixels: np.ndarray, options: list[int]) -> bytes:
    _, data = cv2.imencode(ending, np.ascontiguousarray(pixels), options)
    return data.tobytes()
