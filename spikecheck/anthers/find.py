"""Leftover anthers in the straightened strip."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.anthers.blob_features import blob_features, length_and_width_px
from spikecheck.anthers.blobs import Blob, Look, find_blobs, strip_colours
from spikecheck.anthers.stage import anther_stage
from spikecheck.vocabulary import Anther

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from spikecheck.imaging.strip import Strip
    from spikecheck.thresholds import AntherThresholds
    from spikecheck.thresholds.scores import FittedScore
    from spikecheck.vocabulary import Scale


@dataclass(frozen=True, slots=True, eq=False)
class SeenFloret:
    """A floret as the search for anthers needs it.

    Parameters
    ----------
    id
        Its id.
    rim
        float32 of shape (points, 2): (row, column) of its rim, strip px; None if not seen.
    """

    id: str
    rim: NDArray[np.float32] | None


@dataclass(frozen=True, slots=True, eq=False)
class StripView:
    """What the search looks at.

    Parameters
    ----------
    strip
        The straightened strip.
    lab
        float32 (rows, columns, 3): its CIELAB under neutral light.
    plant, spike, openings
        bool (rows, columns): plant tissue, the spike's filled outline, inside of the rims.
    """

    strip: Strip
    lab: NDArray[np.float32]
    plant: NDArray[np.bool_]
    spike: NDArray[np.bool_]
    openings: NDArray[np.bool_]


def find_anthers(
    view: StripView,
    florets: Sequence[SeenFloret],
    scale: Scale | None,
    *,
    scores: Mapping[Look, FittedScore],
    thresholds: AntherThresholds,
) -> tuple[Anther, ...]:
    """Find leftover anthers, most certain first.

    Parameters
    ----------
    view
        What to look at.
    florets
        The florets of the spike.
    scale
        Pixels per millimetre of the photo, or None.
    scores
        The fitted score of each look.
    thresholds
        When a patch counts, and the colours of the stages.
    """
    colours = strip_colours(view.lab, view.plant, view.spike)
    blobs = find_blobs(colours, view.spike, view.openings, thresholds=thresholds)
    if not blobs:
        return ()
    features = blob_features(blobs, colours, view.spike, view.openings)
    least = {
        Look.YELLOW: thresholds.yellow_score,
        Look.PALE: thresholds.pale_score,
        Look.GREEN: thresholds.green_score,
    }
    found = []
    for blob, row in zip(blobs, features, strict=True):
        odds = float(scores[blob.look].log_odds(row[None])[0])
        score = 1 / (1 + np.exp(-odds))
        if score >= least[blob.look]:
            found.append(_anther(blob, score, view, florets, scale, thresholds=thresholds))
    return tuple(sorted(found, key=lambda anther: -anther.score))


def _anther(
    blob: Blob,
    score: float,
    view: StripView,
    florets: Sequence[SeenFloret],
    scale: Scale | None,
    *,
    thresholds: AntherThresholds,
) -> Anther:
    lab = view.lab[blob.rows, blob.columns].mean(axis=0).astype(np.float64)
    stage, near_anthesis = anther_stage(lab, thresholds=thresholds)
    length_px = length_and_width_px(blob)[0] / view.strip.zoom
    length_mm = None if scale is None else length_px / scale.px_per_mm
    box = view.strip.photo_box(blob.rows, blob.columns)
    return Anther(
        floret=_floret_of(blob, florets, thresholds=thresholds),
        centre=view.strip.photo_point(float(blob.rows.mean()), float(blob.columns.mean())),
        box=box,
        length_mm=length_mm,
        stage=stage,
        near_anthesis=near_anthesis,
        broken=length_mm is not None and length_mm < thresholds.broken_length_mm,
        score=float(score),
    )


def _floret_of(
    blob: Blob, florets: Sequence[SeenFloret], *, thresholds: AntherThresholds
) -> str | None:
    """Return the id of the floret whose rim the patch reaches or comes nearest to."""
    best: tuple[float, str | None] = (-thresholds.floret_reach_px, None)
    places = np.stack([blob.columns, blob.rows], axis=1).astype(np.float32)[
        :: max(1, len(blob.rows) // 40)
    ]
    for floret in florets:
        if floret.rim is None:
            continue
        rim = np.ascontiguousarray(floret.rim[:, ::-1])
        depth = max(
            cv2.pointPolygonTest(rim, (float(x), float(y)), measureDist=True) for x, y in places
        )
        best = max(best, (depth, floret.id), key=lambda pair: pair[0])
    return best[1]
