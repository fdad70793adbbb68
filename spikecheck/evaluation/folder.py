"""Evaluates every photo of a folder that may have a truth file beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.errors import PhotoError, UsageError
from spikecheck.evaluation.records import PhotoOutcome
from spikecheck.evaluation.summary import summarise
from spikecheck.vocabulary import read_truth

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from spikecheck.evaluation.scores import Evaluation
    from spikecheck.vocabulary import CheckResult

_CLASS_MAP = ".classes.png"


def evaluate_folder(
    folder: Path,
    *,
    check: Callable[[Path], CheckResult],
    progress: Callable[[int, int, str], None] | None = None,
) -> Evaluation:
    """Check every photo of a folder and compare with the truth beside it.

    Parameters
    ----------
    folder
        Holds photos and truth files of the same name ending in ``.json``; subfolders are not
        entered.
    check
        Gives the answer for one photo; passed in, because what finds anthers is not this room's
        business.
    progress
        Called after each photo with how many are done, how many there are, and its name.

    Returns
    -------
    Evaluation
        A photo without truth counts in the verdict table only; one that cannot be read is listed
        with its error and counts nowhere.

    Raises
    ------
    UsageError
        If the folder is none or holds no photo.
    TruthError
        If a truth file cannot be understood.
    """
    paths = photo_paths(folder)
    truths = {
        path: read_truth(path.with_suffix(".json"))
        for path in paths
        if path.with_suffix(".json").is_file()
    }
    outcomes = []
    for done, path in enumerate(paths, start=1):
        truth = truths.get(path)
        try:
            outcomes.append(PhotoOutcome(path.name, truth, check(path)))
        except PhotoError as error:
            outcomes.append(PhotoOutcome(path.name, truth, None, str(error)))
        if progress is not None:
            progress(done, len(paths), path.name)
    return summarise(outcomes)


def photo_paths(folder: Path) -> tuple[Path, ...]:
    """Return the photos in ``folder`` by name; class maps beside rendered ones are none.

    Raises
    ------
    UsageError
        If the folder is none or holds no photo.
    """
    from spikecheck.photo import PHOTO_SUFFIXES

    if not folder.is_dir():
        raise UsageError("no such folder", where=str(folder), cure="Name a folder of photos")
    paths = sorted(
        path for path in folder.iterdir()
        if path.is_file()
        and path.suffix.lower() in PHOTO_SUFFIXES
        and not path.name.endswith(_CLASS_MAP)
    )  # fmt: skip
    if not paths:
        raise UsageError(
            "holds no photo", where=str(folder), cure="Put photos and their truth files into it"
        )
    return tuple(paths)
