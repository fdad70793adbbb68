"""Checks many photos, each as a spike of its own, on every core."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, partial
from typing import TYPE_CHECKING

from spikecheck.errors import PhotoError
from spikecheck.language import _
from spikecheck.pipeline.batch_pool import run_pool

if TYPE_CHECKING:
    from collections.abc import Generator, Iterable
    from pathlib import Path

    from spikecheck.thresholds import Thresholds
    from spikecheck.vocabulary import Calibration, CheckResult, Finder


@dataclass(frozen=True, slots=True)
class Checked:
    """One photo and its outcome: a result, or the reason why there is none.

    Parameters
    ----------
    path
        The file.
    result
        The outcome of the check.
    error
        Why the file could not be checked.
    """

    path: Path
    result: CheckResult | None = None
    error: PhotoError | None = None


def check_each(
    paths: Iterable[Path], *, workers: int, calibration: Calibration | None = None
) -> Generator[Checked]:
    """Check every photo, several at once, and yield each as it is ready.

    Parameters
    ----------
    paths
        The files; taken as needed.
    workers
        Number of processes, at least 1.
    calibration
        The user's own; None for the shipped one.

    Yields
    ------
    Checked
        In the order of finishing.
    """
    for path, outcome in run_pool(
        partial(_check_one, calibration=calibration), paths, workers=workers
    ):
        if outcome is None:
            yield Checked(path, error=_died(path))
        elif isinstance(outcome, PhotoError):
            yield Checked(path, error=outcome)
        else:
            yield Checked(path, result=outcome)


def _died(path: Path) -> PhotoError:
    return PhotoError(
        _("the process that checked it died, most likely for lack of memory"),
        where=str(path),
        cure=_("Close other programs and run it again, or save the photo smaller"),
    )


def _check_one(path: Path, *, calibration: Calibration | None) -> CheckResult | PhotoError:
    from spikecheck.pipeline.check import check_files

    finder, thresholds = _tools(calibration)
    try:
        result, _ = check_files([path], finder=finder, thresholds=thresholds)
    except PhotoError as error:
        return error
    return result


@cache
def _tools(calibration: Calibration | None) -> tuple[Finder, Thresholds]:
    """Return what every photo of this process is checked with; made at the first."""
    import cv2

    from spikecheck.pipeline.finders import default_finder
    from spikecheck.thresholds import load_thresholds

    cv2.setNumThreads(1)  # every core has a process of its own already
    thresholds = load_thresholds()
    return default_finder(thresholds, calibration, threads=1), thresholds
