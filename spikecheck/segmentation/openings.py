"""The cut openings of the florets, as rims in the straightened strip."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.segmentation.opening_candidates import lightness_views, propose_openings
from spikecheck.segmentation.opening_contour import trace_contours
from spikecheck.segmentation.opening_features import opening_features

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.segmentation.opening_contour import Contours
    from spikecheck.thresholds import SegmentationThresholds
    from spikecheck.thresholds.scores import FittedScore


@dataclass(frozen=True, slots=True, eq=False)
class Opening:
    """One cut opening.

    Parameters
    ----------
    rim
        float32 of shape (32, 2): (row, column) of the rim, strip px.
    log_odds
        How sure it is an opening.
    rim_seen
        Share of the rim's eight sectors in which a rim with something darker within was seen.
    """

    rim: NDArray[np.float32]
    log_odds: float
    rim_seen: float

    @property
    def centre(self) -> tuple[float, float]:
        """Row and column of the middle, strip px."""
        row, column = self.rim.mean(axis=0)
        return float(row), float(column)


@dataclass(frozen=True, slots=True, eq=False)
class RimCandidates:
    """Traced rims and their features, before anything is decided.

    Parameters
    ----------
    contours
        N rims.
    features
        float64 of shape (N, F).
    darkness
        float32 of the strip's shape: share of the surrounding tissue's lightness that is missing.
    """

    contours: Contours
    features: NDArray[np.float64]
    darkness: NDArray[np.float32]


def rim_candidates(
    lab: NDArray[np.float32],
    plant: NDArray[np.bool_],
    spike: NDArray[np.bool_],
    *,
    thresholds: SegmentationThresholds,
) -> RimCandidates | None:
    """Propose, trace and measure possible openings of a strip; None when there are none.

    Parameters
    ----------
    lab
        CIELAB of the strip, float32 (rows, columns, 3).
    plant, spike
        bool (rows, columns): plant tissue; the spike's outline, filled.
    thresholds
        What is proposed at all.
    """
    if not spike.any():
        return None
    views = lightness_views(lab, spike)
    candidates = propose_openings(views, thresholds=thresholds)
    if not candidates:
        return None
    contours = trace_contours(candidates, views)
    features = opening_features(contours, views, lab, plant, spike)
    return RimCandidates(contours, features, 1 - views.lightness / views.tissue)


def find_openings(
    candidates: RimCandidates, *, score: FittedScore, thresholds: SegmentationThresholds
) -> tuple[Opening, ...]:
    """Keep the candidates that are openings, or may be, and that do not lie on a better one."""
    log_odds = score.log_odds(candidates.features)
    rims = np.stack([candidates.contours.rows, candidates.contours.columns], axis=2)
    centres = rims.mean(axis=1)
    kept: list[Opening] = []
    middles: list[NDArray[np.float32]] = []
    for i in np.argsort(-log_odds):
        if log_odds[i] < thresholds.opening_doubt_log_odds:
            break
        apart = all(
            np.hypot(*(centres[i] - middle)) > thresholds.opening_apart_px
            and not _inside(opening.rim, centres[i])
            for opening, middle in zip(kept, middles, strict=True)
        )
        if apart:
            middles.append(centres[i])
            kept.append(Opening(rims[i], float(log_odds[i]), candidates.contours.rim_seen(i)))
    return tuple(kept)


def _inside(rim: NDArray[np.float32], centre: NDArray[np.float32]) -> bool:
    polygon = np.ascontiguousarray(rim[:, ::-1])
    place = (float(centre[1]), float(centre[0]))
    return cv2.pointPolygonTest(polygon, place, measureDist=False) > 0
