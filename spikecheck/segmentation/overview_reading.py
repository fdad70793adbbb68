"""Spike, scale and what is wrong with the whole picture, from the overview network's answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.networks import CELL_PX, OverviewGlobal, OverviewMap, sigmoid
from spikecheck.segmentation.overview_axis import arrows_in, overview_axis
from spikecheck.segmentation.overview_mask import OverviewMask, overview_mask
from spikecheck.vocabulary import Scale, ScaleSource, Spike

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from spikecheck.networks import Letterbox, OverviewTuned
    from spikecheck.thresholds import NetworkThresholds

_OUTLINE_ERROR_PX = 0.5  # of the square; keeps the polygon short
_LN_SCALE_REACH = (-5.0, 5.0)  # 0.007 to 148 px/mm in the square: beyond it nothing is a photo
_LN_VARIANCE_REACH = (-14.0, 2.0)


@dataclass(frozen=True, slots=True, eq=False)
class OverviewReading:
    """What the overview says of a photo with a spike.

    Parameters
    ----------
    spike, scale, other_spikes
        As in :class:`~spikecheck.vocabulary.findings.Findings`.
    not_prepared
        Whether the spike as a whole looks unprepared.
    clear
        Whether the photo looks neither out of focus nor moved.
    """

    spike: Spike
    scale: Scale
    other_spikes: int
    not_prepared: bool
    clear: bool


def read_overview(
    given: Mapping[str, NDArray[np.float32]],
    place: Letterbox,
    *,
    tuned: OverviewTuned,
    thresholds: NetworkThresholds,
) -> OverviewReading | None:
    """Read the overview network's answer for one photo; None when no spike is close enough.

    Parameters
    ----------
    given
        ``maps`` of shape (1, 6, 128, 128) and ``globals`` of shape (1, 8), float32.
    place
        Where the photo lies in the square.
    tuned, thresholds
        Limits.

    Notes
    -----
    Faults of the picture are told when either the maps or the judgement of the whole picture shows
    them; how many spikes there are is the judgement's, the maps only count them.
    """
    maps, whole = given["maps"][0], sigmoid(given["globals"][0])
    if whole[OverviewGlobal.SPIKE_CLOSE] < tuned.spike_close_least:
        return None
    mask = overview_mask(maps, place, tuned=tuned, thresholds=thresholds)
    if mask is None:
        return None
    cells = np.zeros(maps.shape[1:], np.bool_)
    inner = mask.spike[CELL_PX // 2 :: CELL_PX, CELL_PX // 2 :: CELL_PX]
    cells[: inner.shape[0], : inner.shape[1]] = inner
    axis, hidden_share = overview_axis(mask.spike, arrows_in(maps, cells), thresholds=thresholds)
    if whole[OverviewGlobal.OCCLUDED] >= tuned.occluded_least:
        hidden_share = max(hidden_share, thresholds.occluded_share)
    cut_off = whole[OverviewGlobal.CUT_OFF] >= tuned.cut_off_least or (
        _edge_px(mask.spike) >= thresholds.edge_cells * CELL_PX
    )
    blurred = max(whole[OverviewGlobal.DEFOCUS], whole[OverviewGlobal.MOTION])
    several = whole[OverviewGlobal.SEVERAL_SPIKES] >= tuned.several_least
    return OverviewReading(
        spike=Spike(
            outline=place.to_photo(_outline(mask)),
            axis=place.to_photo(axis),
            cut_off=bool(cut_off),
            hidden_share=float(hidden_share),
        ),
        scale=_scale(maps, cells, place, tuned=tuned),
        other_spikes=max(mask.others, 1) if several else 0,
        not_prepared=bool(whole[OverviewGlobal.NOT_PREPARED] >= tuned.not_prepared_least),
        clear=bool(blurred < tuned.blurred_least),
    )


def _outline(mask: OverviewMask) -> NDArray[np.float64]:
    contours, _ = cv2.findContours(
        mask.spike.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE
    )
    line = max(contours, key=len)
    if mask.parts > 1:  # a spike cut in two by what lies over it
        line = cv2.convexHull(np.concatenate(contours))
    polygon = cv2.approxPolyDP(line, _OUTLINE_ERROR_PX, closed=True).reshape(-1, 2)[:, ::-1]
    return np.asarray(polygon, dtype=np.float64)


def _edge_px(spike: NDArray[np.bool_]) -> int:
    """Return along how many px the spike touches one edge of the photo, the worst of four."""
    edges = (spike[0], spike[-1], spike[:, 0], spike[:, -1])
    return max(int(edge.sum()) for edge in edges)


def _scale(
    maps: NDArray[np.float32],
    cells: NDArray[np.bool_],
    place: Letterbox,
    *,
    tuned: OverviewTuned,
) -> Scale:
    """Average ln(px/mm) over the spike; the errors of its cells are one and the same error."""
    ln_scale = np.clip(maps[OverviewMap.LN_SCALE][cells], *_LN_SCALE_REACH)
    ln_variance = np.clip(maps[OverviewMap.LN_SCALE_VARIANCE][cells], *_LN_VARIANCE_REACH)
    if not ln_scale.size:  # thinner than a cell: take the whole picture's
        ln_scale = np.clip(maps[OverviewMap.LN_SCALE].ravel(), *_LN_SCALE_REACH)
        ln_variance = np.full_like(ln_scale, _LN_VARIANCE_REACH[1])
    mean = float(np.average(ln_scale, weights=np.exp(-ln_variance)))
    deviation = float(np.exp(ln_variance.mean() / 2))
    zoom = (place.row_zoom * place.column_zoom) ** 0.5
    px_per_mm = float(np.exp(mean)) / zoom
    reach = float(np.exp(tuned.scale_widening * deviation))
    return Scale(px_per_mm, ScaleSource.ESTIMATE, low=px_per_mm / reach, high=px_per_mm * reach)
