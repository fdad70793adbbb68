"""The order of the stages for one spike: read tags, find, judge the photo, assess.

A stage never calls another stage; this is the only place that knows what comes after what.
"""

from __future__ import annotations

import time
from collections import Counter
from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING

from spikecheck import __version__
from spikecheck.assessment import assess
from spikecheck.errors import UsageError
from spikecheck.language import _
from spikecheck.pipeline.tag_hiding import find_beside_tags
from spikecheck.pipeline.tag_use import codes_of, in_neutral_light, with_tag_scale
from spikecheck.vocabulary import CheckedTag, CheckResult, PhotoResult

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from spikecheck.assessment import Assessment
    from spikecheck.thresholds import Thresholds
    from spikecheck.vocabulary import Finder, Findings, Photo, PhotoQuality, SeenTag


def check_photos(photos: Sequence[Photo], *, finder: Finder, thresholds: Thresholds) -> CheckResult:
    """Check one spike from photos of its faces.

    Parameters
    ----------
    photos
        One or more photos of the same spike, each of another face.
    finder
        What looks for spike, florets and anthers.
    thresholds
        All deciding numbers.

    Returns
    -------
    CheckResult
        One verdict for the spike; ``timing_ms`` holds ``tags``, ``find``, ``quality``, ``assess``
        and ``total``. Its ``tag`` has the code alone: only the records know what it stands for, see
        :func:`~spikecheck.vocabulary.identified`.

    Raises
    ------
    UsageError
        If there is no photo, or the same photo is given twice: it would pass for a second face.
    """
    _refuse_repeats(photos)
    # These load the image libraries, so as late as possible.
    from spikecheck.photo import judge_quality
    from spikecheck.tag_reading import read_tags

    clock = _Clock()
    seen: list[tuple[Findings, PhotoQuality]] = []
    tags: list[tuple[SeenTag, ...]] = []
    for photo in photos:
        with clock.stage("tags"):
            tags.append(read_tags(photo.pixels, thresholds=thresholds.tags))
            neutral = in_neutral_light(photo, tags[-1])
        with clock.stage("find"):
            findings = find_beside_tags(
                neutral, tags[-1], finder=finder, thresholds=thresholds.tags
            )
            findings = with_tag_scale(findings, tags[-1], thresholds=thresholds.tags)
        with clock.stage("quality"):
            quality = judge_quality(photo, findings, thresholds=thresholds.quality)
        seen.append((findings, quality))
    with clock.stage("assess"):
        codes = codes_of(tags)
        assessment = assess(seen, thresholds=thresholds.assessment, tags=codes)
    return CheckResult(
        verdict=assessment.verdict,
        reasons=assessment.reasons,
        risk=assessment.risk,
        photos=tuple(_photo_results(photos, seen, assessment, tags)),
        timing_ms={**clock.elapsed_ms, "total": sum(clock.elapsed_ms.values())},
        software_version=__version__,
        tag=CheckedTag(codes[0]) if len(codes) == 1 else None,
    )


def check_files(
    paths: Sequence[Path], *, finder: Finder, thresholds: Thresholds
) -> tuple[CheckResult, tuple[Photo, ...]]:
    """Read photo files and check them as faces of one spike.

    Parameters
    ----------
    paths
        One or more photo files.
    finder, thresholds
        As in :func:`check_photos`.

    Returns
    -------
    tuple of CheckResult and tuple of Photo
        The result, whose ``timing_ms`` also holds ``read``, and the decoded photos in the order
        given, for drawing.

    Raises
    ------
    PhotoError
        If a file cannot be read as a photo.
    UsageError
        As in :func:`check_photos`.
    """
    from spikecheck.photo import read_photo

    clock = _Clock()
    with clock.stage("read"):
        photos = tuple(read_photo(path, thresholds=thresholds.reading) for path in paths)
    result = check_photos(photos, finder=finder, thresholds=thresholds)
    read_ms = clock.elapsed_ms["read"]
    timing_ms = {
        "read": read_ms,
        **result.timing_ms,
        "total": read_ms + result.timing_ms["total"],
    }
    return replace(result, timing_ms=timing_ms), photos


def _refuse_repeats(photos: Sequence[Photo]) -> None:
    if not photos:
        raise UsageError(_("no photo was given"), cure=_("Name at least one photo of the spike"))
    counts = Counter(photo.sha256 for photo in photos)
    for photo in photos:
        if counts[photo.sha256] > 1:
            raise UsageError(
                _("the same photo is given more than once"),
                where=photo.file,
                cure=_("Give each photo once; several photos are different faces of one spike"),
            )


def _photo_results(
    photos: Sequence[Photo],
    seen: Sequence[tuple[Findings, PhotoQuality]],
    assessment: Assessment,
    tags: Sequence[tuple[SeenTag, ...]],
) -> Iterator[PhotoResult]:
    for photo, (findings, quality), florets, own_tags in zip(
        photos, seen, assessment.florets, tags, strict=True
    ):
        yield PhotoResult(
            file=photo.file,
            sha256=photo.sha256,
            width=photo.width,
            height=photo.height,
            taken_at=photo.taken_at,
            quality=quality,
            findings=findings,
            florets=florets,
            tags=own_tags,
        )


class _Clock:
    """Milliseconds spent in each stage, added up over the photos."""

    def __init__(self) -> None:
        self.elapsed_ms: dict[str, float] = {}

    @contextmanager
    def stage(self, name: str) -> Iterator[None]:
        """Add the time spent inside the ``with`` block to the stage ``name``."""
        started = time.perf_counter()
        yield
        spent_ms = (time.perf_counter() - started) * 1000
        self.elapsed_ms[name] = self.elapsed_ms.get(name, 0.0) + spent_ms
