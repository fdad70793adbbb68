"""Leftover anthers from the florets network's maps of the straightened strip."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.imaging.strip import STRIP_PX_PER_MM
from spikecheck.networks import CELL_PX, FloretMap, cell_centres_px, find_peaks, sigmoid
from spikecheck.vocabulary import Anther, AntherStage

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from spikecheck.imaging.strip import Strip
    from spikecheck.networks import FloretsTuned, LogitScaling, Peak
    from spikecheck.thresholds import NetworkThresholds
    from spikecheck.vocabulary import Box

_LN_EXTENT_REACH = (-3.0, 3.0)  # 0.05 to 20 mm
_CELLS_PER_MM = STRIP_PX_PER_MM / CELL_PX
_STAGES = (AntherStage.GREEN, AntherStage.YELLOW, AntherStage.DEHISCED)
_Cells = tuple["NDArray[np.intp]", "NDArray[np.intp]"]
_StripBox = tuple[float, float, float, float]


def anthers_in_maps(
    maps: NDArray[np.float32],
    strip: Strip,
    floret_boxes: Mapping[str, _StripBox],
    *,
    scaling: LogitScaling,
    tuned: FloretsTuned,
    thresholds: NetworkThresholds,
) -> tuple[Anther, ...]:
    """Return the anthers, most certain first.

    Parameters
    ----------
    maps
        float32 of shape (20, rows / 4, columns / 4), see :class:`~spikecheck.networks.FloretMap`.
    strip
        The strip they are of, 20 px/mm.
    floret_boxes
        By id the florets' boxes in the strip, px: top, left, bottom, right.
    scaling
        Turns the logit of a peak into a probability.
    tuned, thresholds
        Limits.

    Notes
    -----
    Each peak of the heat of anther centres is an anther. Its cells are those of anther tissue that
    are connected with it and nearer to it than to another peak; stage and length are theirs.
    """
    peaks = [
        peak
        for peak in find_peaks(
            maps[FloretMap.ANTHER_HEAT],
            least=tuned.anther_least,
            apart_cells=thresholds.anther_apart_mm * _CELLS_PER_MM,
        )
        if strip.holds(*_place(peak))
    ]
    if not peaks:
        return ()
    stages = _softmax(maps[FloretMap.ANTHER_PIXEL : FloretMap.NEAR_ANTHESIS])
    tissue = 1 - stages[0] >= tuned.anther_pixel_least
    found = []
    for peak, cells in zip(peaks, _cells_of(peaks, tissue), strict=True):
        shares = stages[1:, cells[0], cells[1]].mean(axis=1)
        stage = _STAGES[int(np.argmax(shares))]
        here = sigmoid(maps[:, peak.cell[0], peak.cell[1]])
        box, length_mm = _extent(maps, peak, cells, strip, thresholds=thresholds)
        row, column = _place(peak)
        found.append(
            Anther(
                floret=_floret_at(row, column, floret_boxes, thresholds=thresholds),
                centre=strip.photo_point(row, column),
                box=box,
                length_mm=length_mm,
                stage=stage,
                near_anthesis=bool(
                    stage is not AntherStage.GREEN
                    or here[FloretMap.NEAR_ANTHESIS] >= tuned.near_anthesis_least
                ),
                broken=bool(here[FloretMap.BROKEN] >= tuned.broken_least),
                score=scaling.probability(peak.logit),
            )
        )
    return tuple(sorted(found, key=lambda anther: -anther.score))


def _place(peak: Peak) -> tuple[float, float]:
    row, column = cell_centres_px(np.array([peak.row, peak.column])).tolist()
    return row, column


def _softmax(logits: NDArray[np.float32]) -> NDArray[np.float32]:
    weights = np.exp(logits - logits.max(axis=0))
    return np.asarray(weights / weights.sum(axis=0), dtype=np.float32)


def _cells_of(peaks: Sequence[Peak], tissue: NDArray[np.bool_]) -> list[_Cells]:
    """Share out connected anther tissue among its peaks; a peak without any has its own cell."""
    from scipy.spatial import KDTree

    _, labels = cv2.connectedComponents(tissue.astype(np.uint8), connectivity=8)
    shared = [(np.array([peak.cell[0]]), np.array([peak.cell[1]])) for peak in peaks]
    peaks_of: dict[int, list[int]] = {}
    for number, peak in enumerate(peaks):
        peaks_of.setdefault(int(labels[peak.cell]), []).append(number)
    peaks_of.pop(0, None)  # beside all anther tissue
    for label, numbers in peaks_of.items():
        cells = np.argwhere(labels == label)
        places = [(peaks[number].row, peaks[number].column) for number in numbers]
        _, nearest = KDTree(places).query(cells)
        for order, number in enumerate(numbers):
            mine = cells[nearest == order]
            if len(mine):  # a peak between cells may lie nearer to none of them
                shared[number] = (mine[:, 0], mine[:, 1])
    return shared


def _extent(
    maps: NDArray[np.float32],
    peak: Peak,
    cells: _Cells,
    strip: Strip,
    *,
    thresholds: NetworkThresholds,
) -> tuple[Box, float]:
    """Return the box in the photo and the length, mm: of the cells, else as the network says."""
    rows, columns = cells
    if len(rows) > 1:
        _, sides, _ = cv2.minAreaRect(np.stack([columns, rows], axis=1).astype(np.float32))
        ends = np.array([0, CELL_PX - 1])  # first and last px of a cell
        tops, lefts = (part[:, None, None] * CELL_PX for part in cells)
        corners = np.broadcast_arrays(tops + ends[:, None], lefts + ends)
        return strip.photo_box(*corners), (max(sides) + 1) / _CELLS_PER_MM
    channels = slice(FloretMap.ANTHER_SIZE, FloretMap.ANTHER_SIZE + 2)
    ln_extent = np.clip(maps[channels, peak.cell[0], peak.cell[1]], *_LN_EXTENT_REACH)
    extent_mm = np.maximum(np.exp(ln_extent), thresholds.smallest_extent_mm)
    height, width = (extent_mm * STRIP_PX_PER_MM / 2).tolist()
    row, column = _place(peak)
    box = strip.photo_box_of_ellipse(row - height, column - width, row + height, column + width)
    return box, float(extent_mm.max())


def _floret_at(
    row: float,
    column: float,
    boxes: Mapping[str, _StripBox],
    *,
    thresholds: NetworkThresholds,
) -> str | None:
    """Return the floret whose box the place lies deepest in or nearest to; None out of reach."""
    best: tuple[float, str | None] = (thresholds.floret_reach_mm * STRIP_PX_PER_MM, None)
    for name, (top, left, bottom, right) in boxes.items():
        beyond = np.hypot(
            max(top - row, 0.0, row - bottom), max(left - column, 0.0, column - right)
        )
        if beyond == 0:  # inside: the share of the way from the middle to the edge, below 0
            beyond = (
                max(
                    abs(2 * row - top - bottom) / (bottom - top),
                    abs(2 * column - left - right) / (right - left),
                )
                - 1
            )
        if beyond < best[0]:
            best = (float(beyond), name)
    return best[1]
