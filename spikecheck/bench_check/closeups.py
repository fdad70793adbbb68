"""Cuts out, enlarged, the places of a spike that reasons ask a person to go back to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.imaging.crops import place_crop
from spikecheck.imaging.encoding import encode_jpeg
from spikecheck.imaging.spike_map import quarter_turns

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.vocabulary import (
        CheckResult,
        JudgedFloret,
        Photo,
        PhotoResult,
        Point,
        Reason,
    )

_ROOM_AROUND_FLORET = 1.6  # sides of the crop to the longer side of the floret
_SHARE_OF_PHOTO = 0.15  # side of the crop about a bare place to the photo's shorter side


@dataclass(frozen=True, slots=True)
class Closeup:
    """A place to go back to.

    Parameters
    ----------
    photo
        Index of the photo.
    floret
        The floret, or None when the place lies outside the florets.
    reasons
        Why, most urgent first.
    picture
        The place enlarged, tip up by quarter turns as on the map, as JPEG.
    """

    photo: int
    floret: JudgedFloret | None
    reasons: tuple[Reason, ...]
    picture: bytes


def cut_closeups(photos: Sequence[Photo], result: CheckResult) -> tuple[Closeup, ...]:
    """Cut out every place that a reason points at, once, in the order of the reasons.

    Parameters
    ----------
    photos
        In the order of ``result.photos``.
    result
        Their check.
    """
    found: dict[tuple[int, str | Point], list[Reason]] = {}
    for reason in result.reasons:
        where = reason.floret or reason.place
        if reason.photo is not None and where is not None:
            found.setdefault((reason.photo, where), []).append(reason)
    return tuple(
        closeup
        for (index, where), reasons in found.items()
        for closeup in _cut(photos[index], result.photos[index], index, where, reasons)
    )


def _cut(
    photo: Photo, seen: PhotoResult, index: int, where: str | Point, reasons: list[Reason]
) -> list[Closeup]:
    if isinstance(where, str):
        florets = [judged for judged in seen.florets if judged.floret.id == where]
        return [
            Closeup(index, judged, tuple(reasons), _enlarged_floret(photo, seen, judged))
            for judged in florets
        ]
    side_px = _SHARE_OF_PHOTO * min(photo.width, photo.height)
    return [Closeup(index, None, tuple(reasons), _enlarged(photo, seen, where, side_px))]


def _enlarged_floret(photo: Photo, seen: PhotoResult, judged: JudgedFloret) -> bytes:
    box = judged.floret.box
    longer_px = max(box.bottom - box.top, box.right - box.left)
    return _enlarged(photo, seen, box.centre, _ROOM_AROUND_FLORET * longer_px)


def _enlarged(photo: Photo, seen: PhotoResult, centre: Point, side_px: float) -> bytes:
    crop = place_crop(photo, centre, side_px=max(round(side_px), 1))
    spike = seen.findings.spike
    turns = 0 if spike is None else quarter_turns(spike.axis)
    return encode_jpeg(np.ascontiguousarray(np.rot90(crop, turns)))
