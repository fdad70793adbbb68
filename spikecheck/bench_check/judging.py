"""Judges the photos of one spike and draws the pictures that go with the verdict."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.bench_check.closeups import cut_closeups
from spikecheck.imaging.encoding import encode_jpeg
from spikecheck.imaging.overlay import draw_overlay
from spikecheck.photo import decode_photo
from spikecheck.pipeline import check_photos

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.bench_check.closeups import Closeup
    from spikecheck.bench_check.taking import TakenPhoto
    from spikecheck.thresholds import Thresholds
    from spikecheck.vocabulary import CheckResult, Finder, Photo


@dataclass(frozen=True, slots=True)
class Judged:
    """The verdict with its pictures.

    Parameters
    ----------
    result
        Verdict, reasons and findings.
    overlays
        One marked picture a photo, as JPEG.
    closeups
        In the order of the reasons.
    """

    result: CheckResult
    overlays: tuple[bytes, ...]
    closeups: tuple[Closeup, ...]


def judge(taken: Sequence[TakenPhoto], *, finder: Finder, thresholds: Thresholds) -> Judged:
    """Check photos together, as faces of one spike.

    Parameters
    ----------
    taken
        One photo or more, in the order of taking.
    finder
        What looks for spike, florets and anthers.
    thresholds
        What the check decides by.

    Raises
    ------
    PhotoError
        If one cannot be read any more: the thresholds differ from those it was taken in under.
    """
    photos = [decode_photo(one.data, file=one.file, thresholds=thresholds.reading) for one in taken]
    result = check_photos(photos, finder=finder, thresholds=thresholds)
    overlays = tuple(_overlay(photo, result, index) for index, photo in enumerate(photos))
    return Judged(result, overlays, cut_closeups(photos, result))


def _overlay(photo: Photo, result: CheckResult, index: int) -> bytes:
    reasons = [reason for reason in result.reasons if reason.photo in (None, index)]
    drawn = draw_overlay(photo, result.photos[index], verdict=result.verdict, reasons=reasons)
    return encode_jpeg(drawn)
