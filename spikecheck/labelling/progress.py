"""How far the marking of a folder is, and how many more spikes a promise needs."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.errors import TruthError
from spikecheck.labelling.label_file import read_label

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path

    from spikecheck.vocabulary import AntherStage, PhotoTruth


class Marking(StrEnum):
    """How far one photo is."""

    OPEN = "not marked"
    BEGUN = "begun"
    FINISHED = "finished"
    DAMAGED = "truth file not usable"


@dataclass(frozen=True, slots=True)
class PhotoProgress:
    """One photo of the folder.

    Parameters
    ----------
    photo
        The file.
    marking
        How far it is.
    truth
        Its marks, or None.
    problem
        Why its truth file cannot be used; empty otherwise.
    """

    photo: Path
    marking: Marking
    truth: PhotoTruth | None = None
    problem: str = ""


@dataclass(frozen=True, slots=True)
class FolderProgress:
    """All photos of a folder.

    Parameters
    ----------
    photos
        One entry a photo, in the order given.
    """

    photos: tuple[PhotoProgress, ...]

    @property
    def finished(self) -> tuple[PhotoProgress, ...]:
        """The photos whose marking is finished."""
        return tuple(each for each in self.photos if each.marking is Marking.FINISHED)

    @property
    def leftovers(self) -> Mapping[AntherStage | None, int]:
        """Marked leftovers of the finished photos by stage; None counts those without one."""
        return Counter(
            anther.stage
            for each in self.finished
            if each.truth is not None
            for anther in each.truth.anthers
        )

    @property
    def leftover_spikes(self) -> int:
        """Spikes with a marked leftover in a finished photo."""
        return len({
            spike_key(each.photo, each.truth)
            for each in self.finished
            if each.truth is not None and each.truth.anthers
        })  # fmt: skip

    @property
    def clean_spikes(self) -> int:
        """Spikes of finished photos without any leftover marked."""
        spikes = {
            spike_key(each.photo, each.truth) for each in self.finished if each.truth is not None
        }
        return len(spikes) - self.leftover_spikes

    def lacking(self, alpha: float) -> int:
        """Return how many more spikes with a leftover a promise of ``alpha`` needs at least.

        Raises
        ------
        UsageError
            If ``alpha`` does not lie between 0 and 1.
        """
        from spikecheck.assessment.conformal import spikes_needed

        return max(0, spikes_needed(alpha) - self.leftover_spikes)


def spike_key(photo: Path, truth: PhotoTruth | None) -> str:
    """Return what tells the spike of a photo from others: its name, or the photo's own."""
    if truth is None or truth.spike is None:
        return f"photo {photo.name}"
    return f"spike {truth.spike}"


def folder_progress(photos: Sequence[Path]) -> FolderProgress:
    """Read the marks beside all photos."""
    return FolderProgress(tuple(_each(photos)))


def _each(photos: Iterable[Path]) -> Iterable[PhotoProgress]:
    for photo in photos:
        try:
            truth = read_label(photo).truth
        except TruthError as error:
            yield PhotoProgress(photo, Marking.DAMAGED, problem=str(error))
            continue
        if truth is None:
            yield PhotoProgress(photo, Marking.OPEN)
        else:
            marking = Marking.FINISHED if truth.complete else Marking.BEGUN
            yield PhotoProgress(photo, marking, truth)
