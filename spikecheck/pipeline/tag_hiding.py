"""Hides a printed tag from what looks for the spike, where it lies clear of it.

A tag is the largest bright thing in many photos and nothing that belongs to a spike. What looks for
the spike takes it now and then for something that lies over it; so it sees the photo with the tag
painted over in the colour around it. A tag that touches the spike may hide florets: then the photo
is looked at as it was taken.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.vocabulary.tag_layout import QR_SIDE_MM

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.thresholds import TagThresholds
    from spikecheck.vocabulary import Finder, Findings, Photo, SeenTag


_RING_PX = 61  # how far around the colour is taken from, both sides together, px


def find_beside_tags(
    photo: Photo, tags: Sequence[SeenTag], *, finder: Finder, thresholds: TagThresholds
) -> Findings:
    """Return what is found beside the tags of a photo.

    Parameters
    ----------
    photo
        To look at.
    tags
        Those read in it.
    finder
        What looks.
    thresholds
        How far around a tag its margin reaches.
    """
    if not tags:
        return finder.find(photo)
    covered = _covered(photo.pixels.shape[:2], tags, margin_mm=thresholds.margin_mm)
    findings = finder.find(replace(photo, pixels=_painted_over(photo.pixels, covered)))
    if _touches(findings, covered):
        return finder.find(photo)
    return findings


def _covered(
    shape: tuple[int, ...], tags: Sequence[SeenTag], *, margin_mm: float
) -> NDArray[np.uint8]:
    """Return 1 where a tag lies and within its margin, else 0; of ``shape``."""
    import cv2

    covered = np.zeros(shape, np.uint8)
    for tag in tags:
        corners = np.round(tag.outline[:, ::-1]).astype(np.int32)
        cv2.fillConvexPoly(covered, corners, 1)
        side_px = float(np.linalg.norm(tag.symbol[1] - tag.symbol[0]))
        px_per_mm = tag.scale.px_per_mm if tag.scale is not None else side_px / QR_SIDE_MM
        around = max(1, round(margin_mm * px_per_mm))
        cv2.polylines(covered, [corners], isClosed=True, color=1, thickness=2 * around)
    return covered


def _painted_over(pixels: NDArray[np.uint8], covered: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Return the pixels with the median colour around what is covered in its place."""
    import cv2

    wide = cv2.dilate(covered, np.ones((_RING_PX, _RING_PX), np.uint8))
    ring = (wide > 0) & (covered == 0)
    painted = pixels.copy()
    if ring.any():
        painted[covered > 0] = np.median(pixels[ring], axis=0).astype(np.uint8)
    return painted


def _touches(findings: Findings, covered: NDArray[np.uint8]) -> bool:
    """Say whether any of the spike lies where a tag or its margin does."""
    import cv2

    if findings.spike is None:
        return False
    spike = np.zeros_like(covered)
    outline = np.round(findings.spike.outline[:, ::-1]).astype(np.int32)
    cv2.fillPoly(spike, [outline], 1)
    return bool((spike & covered).any())
