"""Places in the strip that may be a cut opening: a pale elliptical rim round something darker.

A bank of elliptical rings is matched against two pictures of the lightness: its fine bright ridges
(the cut edge of lemma and palea is paler than tissue and cavity) and its local darkness (one looks
into the floret). This step only proposes; :mod:`spikecheck.segmentation.openings` decides.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.imaging.morphology import disc
from spikecheck.imaging.strip import STRIP_PX_PER_MM
from spikecheck.imaging.top_hat import top_hat

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.thresholds import SegmentationThresholds

_REDUCTION = 2  # the bank works on the strip at half size
_PX_PER_MM = STRIP_PX_PER_MM / _REDUCTION
_HALF_ACROSS_MM = (1.0, 1.25, 1.55)  # openings are 2 to 3.2 mm across: lemma width 3-4 mm (B2.6)
_FLATNESS = (0.45, 0.7, 0.95)  # looked at more or less from the side
_TURNS_DEG = (-40.0, -20.0, 0.0, 20.0, 40.0)
_ROUND = 0.9  # a nearly round ring needs no turned copies
_RIM_MM = 0.15  # half width of the ring
_INNER_MM = 0.3  # the inside begins this far within the rim
_RIDGE_MM = 0.7  # wider bright things are no rim
_TISSUE_MM = 3.0  # lightness of the tissue round about is taken over this width
_COARSE = 4  # that lightness varies slowly: the strip at a quarter of its size shows it
_STRONG_RIDGE = 95  # percentile of the ridges on the spike that counts as full strength
_LEAST_RIDGE = 4.0  # L*; weaker ridges are noise
_MOST_DARK = np.float32(0.3)
_PEAK_MM = 0.9
_AT_ONCE = 3


@dataclass(frozen=True, slots=True, eq=False)
class LightnessViews:
    """Pictures of the strip that the search for openings uses, each float32 (rows, columns).

    Parameters
    ----------
    lightness
        Smoothed L*.
    ridge
        Fine bright ridges, 0..1.
    tissue
        Lightness of the surrounding tissue, L*.
    """

    lightness: NDArray[np.float32]
    ridge: NDArray[np.float32]
    tissue: NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class EllipseCandidate:
    """A possible opening.

    Parameters
    ----------
    row, column
        Centre, strip px.
    half_across_px, half_along_px
        Half axes, strip px.
    turn_deg
        Turn of the first axis from the direction of the columns, clockwise, degrees.
    """

    row: float
    column: float
    half_across_px: float
    half_along_px: float
    turn_deg: float


@dataclass(frozen=True, slots=True, eq=False)
class _Ring:
    half_across_mm: float
    half_along_mm: float
    turn_deg: float
    rim: NDArray[np.float32]
    inside: NDArray[np.float32]


def lightness_views(lab: NDArray[np.float32], spike: NDArray[np.bool_]) -> LightnessViews:
    """Prepare the pictures of the strip.

    Parameters
    ----------
    lab
        CIELAB of the strip, float32 (rows, columns, 3), about 20 px/mm.
    spike
        bool (rows, columns): where the spike is.
    """
    lightness = np.asarray(
        cv2.GaussianBlur(np.ascontiguousarray(lab[..., 0]), (0, 0), 1.2), dtype=np.float32
    )
    ridge = top_hat(lightness, diameter_px=_RIDGE_MM * STRIP_PX_PER_MM)
    strong = max(float(np.percentile(ridge[spike], _STRONG_RIDGE)), _LEAST_RIDGE)
    size = (lightness.shape[1] // _COARSE, lightness.shape[0] // _COARSE)
    coarse = cv2.resize(lightness, size, interpolation=cv2.INTER_AREA)
    px_per_mm = STRIP_PX_PER_MM / _COARSE
    closed = cv2.morphologyEx(coarse, cv2.MORPH_CLOSE, disc(_TISSUE_MM * px_per_mm))
    tissue = cv2.GaussianBlur(closed, (0, 0), px_per_mm)
    tissue = cv2.resize(tissue, lightness.shape[::-1], interpolation=cv2.INTER_LINEAR)
    return LightnessViews(
        lightness=lightness,
        ridge=np.minimum(ridge / np.float32(strong), 1).astype(np.float32),
        tissue=np.maximum(tissue, 1).astype(np.float32),
    )


def propose_openings(
    views: LightnessViews, *, thresholds: SegmentationThresholds
) -> tuple[EllipseCandidate, ...]:
    """Propose ellipses that may be cut openings, many more than there are.

    Parameters
    ----------
    views
        Pictures of the strip.
    thresholds
        How much of a rim and of darkness within a proposal needs, and how many are made.
    """
    size = (views.ridge.shape[1] // _REDUCTION, views.ridge.shape[0] // _REDUCTION)
    ridge = _reduced(views.ridge, size)
    dark = _reduced(np.clip(1 - views.lightness / views.tissue, 0, 1), size)
    found: list[EllipseCandidate] = []
    banks = [[ring for ring in _bank() if ring.half_across_mm == mm] for mm in _HALF_ACROSS_MM]
    with ThreadPoolExecutor(_AT_ONCE) as pool:  # OpenCV lets go of the interpreter
        matches = list(pool.map(lambda rings: _best_match(ridge, dark, rings, thresholds), banks))
    for rings, (best, which) in zip(banks, matches, strict=True):
        peak = (best == cv2.dilate(best, disc(_PEAK_MM * _PX_PER_MM))) & (
            best > thresholds.proposal_sum_low
        )
        rows, columns = np.nonzero(peak)
        for i in np.argsort(-best[rows, columns])[: thresholds.proposals_most]:
            ring = rings[which[rows[i], columns[i]]]
            found.append(
                EllipseCandidate(
                    row=(rows[i] + 0.5) * _REDUCTION - 0.5,
                    column=(columns[i] + 0.5) * _REDUCTION - 0.5,
                    half_across_px=ring.half_across_mm * _PX_PER_MM * _REDUCTION,
                    half_along_px=ring.half_along_mm * _PX_PER_MM * _REDUCTION,
                    turn_deg=ring.turn_deg,
                )
            )
    return tuple(found)


def _reduced(picture: NDArray[np.float32], size: tuple[int, int]) -> NDArray[np.float32]:
    return np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), dtype=np.float32)


def _best_match(
    ridge: NDArray[np.float32],
    dark: NDArray[np.float32],
    rings: list[_Ring],
    thresholds: SegmentationThresholds,
) -> tuple[NDArray[np.float32], NDArray[np.intp]]:
    best = np.zeros(ridge.shape, np.float32)
    which = np.zeros(ridge.shape, np.intp)
    for i, ring in enumerate(rings):
        rim = cv2.filter2D(ridge, -1, ring.rim, borderType=cv2.BORDER_CONSTANT)
        inside = cv2.filter2D(dark, -1, ring.inside, borderType=cv2.BORDER_CONSTANT)
        match = rim + np.minimum(inside, _MOST_DARK)
        match *= (rim >= thresholds.proposal_rim_low) & (inside >= thresholds.proposal_dark_low)
        np.copyto(which, i, where=match > best)
        np.maximum(best, match, out=best)
    return best, which


@cache
def _bank() -> tuple[_Ring, ...]:
    return tuple(
        _ring(across, across * flatness, turn)
        for across in _HALF_ACROSS_MM
        for flatness in _FLATNESS
        for turn in (_TURNS_DEG if flatness < _ROUND else (0.0,))
    )


def _ring(across_mm: float, along_mm: float, turn_deg: float) -> _Ring:
    reach = int(np.ceil((across_mm + 2 * _RIM_MM) * _PX_PER_MM))
    y, x = np.mgrid[-reach : reach + 1, -reach : reach + 1] / _PX_PER_MM
    turn = np.radians(turn_deg)
    u, v = x * np.cos(turn) + y * np.sin(turn), -x * np.sin(turn) + y * np.cos(turn)
    radius = np.hypot(u / across_mm, v / along_mm)
    slope = np.hypot(u / across_mm**2, v / along_mm**2) / np.maximum(radius, 1e-6)
    distance_mm = (radius - 1) / np.maximum(slope, 1e-6)  # to first order
    rim = (np.abs(distance_mm) < _RIM_MM).astype(np.float32)
    inside = (distance_mm < -_INNER_MM).astype(np.float32)
    return _Ring(
        across_mm, along_mm, turn_deg, rim / rim.sum(), inside / max(float(inside.sum()), 1.0)
    )
