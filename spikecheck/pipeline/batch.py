"""Checks every photo of a folder, each as a spike of its own."""

from __future__ import annotations

import hashlib
from contextlib import ExitStack, closing
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING

from spikecheck import __version__
from spikecheck.errors import UsageError
from spikecheck.pipeline.batch_folder import list_photos
from spikecheck.pipeline.batch_journal import Journal, Means, calibration_word
from spikecheck.pipeline.batch_pool import core_count
from spikecheck.pipeline.check_each import check_each
from spikecheck.pipeline.result_entry import result_entry
from spikecheck.thresholds import load_thresholds

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from spikecheck.errors import PhotoError
    from spikecheck.vocabulary import Calibration, CheckResult, Verdict


@dataclass(frozen=True, slots=True)
class BatchStep:
    """One photo done.

    Parameters
    ----------
    file
        Its name within the folder, with ``/`` between folders.
    done, total
        How many photos are done, this one included, and how many there are.
    verdict
        The verdict, or None when the file could not be read.
    result
        The result, or None when the file could not be read or was checked before.
    error
        Why it could not be read.
    """

    file: str
    done: int
    total: int
    verdict: Verdict | None = None
    result: CheckResult | None = None
    error: PhotoError | None = None


@dataclass(frozen=True, slots=True)
class BatchSummary:
    """The outcome of a batch in numbers of photos.

    Parameters
    ----------
    passed, review
        By verdict, those checked before included.
    unreadable
        Without a verdict.
    checked_before
        Taken over from the file of results.
    """

    passed: int
    review: int
    unreadable: int
    checked_before: int


def check_folder(
    folder: Path,
    *,
    jsonl: Path | None = None,
    workers: int | None = None,
    recursive: bool = False,
    calibration: Calibration | None = None,
    progress: Callable[[BatchStep], None],
) -> BatchSummary:
    """Check every photo of ``folder``.

    Parameters
    ----------
    folder
        Holds the photos.
    jsonl
        File to add one JSON object a photo to, each as soon as it is ready; photos already in it
        are taken over (see :mod:`~spikecheck.pipeline.batch_journal`). ``file`` there is the name
        within ``folder``.
    workers
        Number of processes; as many as there are cores when None.
    recursive
        Whether to look into subfolders.
    calibration
        The user's own; None for the shipped one.
    progress
        Called after each photo.

    Raises
    ------
    UsageError
        If the folder is none or holds no photo, or ``workers`` is below 1.
    OutputError
        If ``jsonl`` cannot be written.
    """
    if workers is not None and workers < 1:
        raise UsageError(f"at least one worker is needed, got {workers}", cure="Leave it out")
    photos = list_photos(folder, recursive=recursive)
    names = {path: path.relative_to(folder).as_posix() for path in photos}
    counts = {"done": 0, "pass": 0, "review": 0, "unreadable": 0, "before": 0}

    def tell(step: BatchStep) -> None:
        counts["done"] += 1
        counts["unreadable" if step.verdict is None else step.verdict.value] += 1
        progress(replace(step, done=counts["done"], total=len(photos)))

    with ExitStack() as stack:
        journal = None if jsonl is None else stack.enter_context(Journal(jsonl))

        def earlier(path: Path) -> Verdict | None:
            if journal is None:
                return None
            return _earlier_verdict(journal, path, names[path], calibration)

        def yet_unchecked() -> Iterator[Path]:
            for path in photos:
                verdict = earlier(path)
                if verdict is None:
                    yield path
                else:
                    counts["before"] += 1
                    tell(BatchStep(names[path], 0, 0, verdict))

        processes = min(workers or core_count(), len(photos))
        checks = stack.enter_context(
            closing(check_each(yet_unchecked(), workers=processes, calibration=calibration))
        )
        for checked in checks:
            result = checked.result
            if result is not None and journal is not None:
                entry = result_entry(_named(result, names[checked.path]))
                journal.add(
                    entry,
                    thresholds_sha256=load_thresholds().sha256,
                    own_calibration=calibration_word(calibration),
                )
            verdict = None if result is None else result.verdict
            tell(BatchStep(names[checked.path], 0, 0, verdict, result, checked.error))
    return BatchSummary(counts["pass"], counts["review"], counts["unreadable"], counts["before"])


def _named(result: CheckResult, file: str) -> CheckResult:
    """Return a result of one photo with the name ``file``."""
    (photo,) = result.photos
    return replace(result, photos=(replace(photo, file=file),))


def _earlier_verdict(
    journal: Journal, path: Path, file: str, calibration: Calibration | None
) -> Verdict | None:
    """Return the verdict of an earlier batch that a new check would only repeat, or None."""
    if not journal.has(file):
        return None
    try:
        with path.open("rb") as content:
            sha256 = hashlib.file_digest(content, "sha256").hexdigest()
    except OSError:
        return None  # the check itself will say what is wrong with the file
    means = replace(_means(), own_calibration=calibration_word(calibration))
    return journal.verdict(file, sha256, means)


@cache
def _means() -> Means:
    from spikecheck.pipeline.finders import default_finder

    thresholds = load_thresholds()
    return Means(__version__, default_finder(thresholds).model, thresholds.sha256)
