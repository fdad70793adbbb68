"""The photos that people practise with: those in some folders whose truth lies beside them."""

from __future__ import annotations

import hashlib
import os
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.coaching.truth_item import item_of
from spikecheck.errors import PhotoError, SpikecheckError, TruthError
from spikecheck.labelling.label_file import read_label
from spikecheck.language import _

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from spikecheck.practice import Item
    from spikecheck.thresholds.practice import PracticeThresholds
    from spikecheck.vocabulary import PhotoTruth

PRACTICE_FOLDERS_VARIABLE = "SPIKECHECK_PRACTICE_FOLDERS"
"""Environment variable that tells the page which folders to draw from, joined as PATH is."""


class Source(StrEnum):
    """How the truth of a photo is known."""

    RENDERED = "rendered"
    REVIEWED = "reviewed"


@dataclass(frozen=True, slots=True)
class PoolPhoto:
    """A photo that can be shown in practice.

    Parameters
    ----------
    path
        The file.
    item
        What is in it; its id is the SHA-256 of the file, so a name gives nothing away.
    source
        How its truth is known: made with the picture, or marked by a person.
    """

    path: Path
    item: Item
    source: Source


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A photo that cannot be used.

    Parameters
    ----------
    path
        The file.
    why
        In a few words.
    """

    path: Path
    why: str


@dataclass(frozen=True, slots=True)
class Pool:
    """All photos of the folders.

    Parameters
    ----------
    photos
        What can be shown, by id; each photo once.
    left_out
        What cannot, in the order of the folders and names.
    """

    photos: Mapping[str, PoolPhoto]
    left_out: tuple[LeftOut, ...] = ()

    def count(self, *, source: Source | None = None, clean: bool | None = None) -> int:
        """Return how many photos there are of a source, with or without leftovers; None: any."""
        return sum(
            source in {None, one.source} and clean in {None, one.item.clean}
            for one in self.photos.values()
        )


def practice_folders(environment: Mapping[str, str]) -> tuple[Path, ...]:
    """Return the folders that the environment names, in order; none where it names none."""
    from pathlib import Path

    given = environment.get(PRACTICE_FOLDERS_VARIABLE, "")
    return tuple(Path(name) for name in given.split(os.pathsep) if name)


def read_pool(folders: Sequence[Path], numbers: PracticeThresholds) -> Pool:
    """Read what the folders hold.

    Parameters
    ----------
    folders
        Each holds photos with truth files beside them; subfolders are not looked into.
    numbers
        Thresholds of practice.

    Raises
    ------
    UsageError
        If a folder is none, or holds no photo.
    """
    from spikecheck.pipeline.batch_folder import list_photos

    photos: dict[str, PoolPhoto] = {}
    left_out: list[LeftOut] = []
    for folder in folders:
        for path in list_photos(folder, recursive=False):
            try:
                photo = _pool_photo(path, numbers)
            except SpikecheckError as error:
                left_out.append(LeftOut(path, error.what))
                continue
            if photo.item.photo in photos:
                left_out.append(LeftOut(path, _("it is there a second time")))
            else:
                photos[photo.item.photo] = photo
    return Pool(photos, tuple(left_out))


def _pool_photo(path: Path, numbers: PracticeThresholds) -> PoolPhoto:
    try:
        truth = read_label(path).truth
        data = path.read_bytes()
    except OSError as error:
        raise PhotoError(_("it cannot be read")) from error
    if truth is None:
        raise TruthError(_("nothing is marked in it"))
    _refuse_other_size(data, truth, path)
    source = Source.RENDERED if truth.marked_by is None else Source.REVIEWED
    return PoolPhoto(path, item_of(truth, hashlib.sha256(data).hexdigest(), numbers), source)


def _refuse_other_size(data: bytes, truth: PhotoTruth, path: Path) -> None:
    """Refuse a photo that was cut or scaled after it was marked: its marks lie elsewhere."""
    from spikecheck.photo.decoder import open_image
    from spikecheck.thresholds import load_thresholds

    image = open_image(data, file=path.name, thresholds=load_thresholds().reading)
    # Sorted: pixels that are not decoded yet may still lie on their side.
    if sorted(image.size) != sorted((truth.width, truth.height)):
        raise TruthError(_("it has another size than the picture that was marked"))
