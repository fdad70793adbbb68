"""How a photo is laid out for a network: scaled, for florets also upright and cut to the spike.

A view is a similarity: every place in the photo has exactly one in it, so truth moves along.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.imaging.strip import STRIP_PX_PER_MM
from spikecheck.networks.preprocess import OVERVIEW_SIDE_PX
from spikecheck.vocabulary import QualityProblem

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.vocabulary import PhotoTruth

_FINEST_PX_PER_MM = 1.08 * STRIP_PX_PER_MM  # finer detail never reaches the network
_STRIP_HALF_WIDTH_MM = 14.0  # of the strip kept: anthers that hang out included
_STRIP_MARGIN_MM = 7.0  # beyond both ends of the axis
_NO_SPIKE_LONG_SIDE_PX = 1400  # about as long as a strip of a spike
_OVERVIEW_LONG_SIDE_PX = round(1.25 * OVERVIEW_SIDE_PX)  # so that it may be shown larger


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """Where a view lies in the photo.

    Parameters
    ----------
    matrix
        float64 of shape (2, 3): (row, column, 1) of the photo to (row, column) of the view, px.
    rows, columns
        Size of the view, px.
    px_per_mm
        Scale of the view; None when the photo's is not known.
    """

    matrix: NDArray[np.float64]
    rows: int
    columns: int
    px_per_mm: float | None

    @property
    def zoom(self) -> float:
        """View pixels per photo pixel."""
        return float(np.hypot(self.matrix[0, 0], self.matrix[0, 1]))

    def place(self, places: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return photo places (row, column), shape (..., 2), as places of the view."""
        return places @ self.matrix[:, :2].T + self.matrix[:, 2]


def overview_view(truth: PhotoTruth) -> View:
    """Return the view of the whole photo, its longer side at most 640 px."""
    zoom = min(1.0, _OVERVIEW_LONG_SIDE_PX / max(truth.height, truth.width))
    return _as_it_lies(truth, zoom, None if truth.px_per_mm is None else truth.px_per_mm * zoom)


def florets_view(truth: PhotoTruth) -> View | None:
    """Return the upright view of the spike's surroundings, at most slightly above 20 px/mm.

    Without an axis it is the whole photo as it lies. A photo without a spike is shown as if it
    had the working scale, so that the network learns what is no spike. None where the scale of a
    spike is not known.
    """
    if QualityProblem.NO_SPIKE in (truth.problems or ()):
        zoom = min(1.0, _NO_SPIKE_LONG_SIDE_PX / max(truth.height, truth.width))
        return _as_it_lies(truth, zoom, STRIP_PX_PER_MM)
    if truth.px_per_mm is None:
        return None
    zoom = min(1.0, _FINEST_PX_PER_MM / truth.px_per_mm)
    scale = truth.px_per_mm * zoom
    if truth.axis is None:
        return _as_it_lies(truth, zoom, scale)
    axis = np.array([[point.row, point.column] for point in truth.axis])
    along = axis[-1] - axis[0]
    angle = math.atan2(along[1], -along[0])  # of base to tip, clockwise from upwards
    turn: NDArray[np.float64] = np.array(zoom) * np.array(
        [[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]]
    )
    turned = axis @ turn.T
    top = turned[:, 0].min() - _STRIP_MARGIN_MM * scale
    bottom = turned[:, 0].max() + _STRIP_MARGIN_MM * scale
    middle = (turned[:, 1].min() + turned[:, 1].max()) / 2
    half = (turned[:, 1].max() - turned[:, 1].min()) / 2 + _STRIP_HALF_WIDTH_MM * scale
    shift = np.array([-top, half - middle])
    return View(
        np.concatenate([turn, shift[:, None]], axis=1), math.ceil(bottom - top),
        math.ceil(2 * half), scale,
    )  # fmt: skip


def drawn_view(
    pixels: NDArray[np.uint8], classes: NDArray[np.uint8], view: View
) -> NDArray[np.uint8]:
    """Return pixels and classes in a view.

    Parameters
    ----------
    pixels
        uint8 of shape (rows, columns, 3), RGB, the photo.
    classes
        uint8 of shape (rows, columns), its class map.

    Returns
    -------
    NDArray
        uint8 of shape (rows, columns, 4): RGB and class. Outside the photo its edge goes on, as
        in a straightened strip, and the class is background.
    """
    size = (view.columns, view.rows)
    small, shrunk = pixels, np.eye(3)
    if view.zoom < 1:  # by area first, so that fine detail does not alias
        rows, columns = (max(1, round(side * view.zoom)) for side in pixels.shape[:2])
        small = np.asarray(
            cv2.resize(pixels, (columns, rows), interpolation=cv2.INTER_AREA), dtype=np.uint8
        )
        factors = np.array([rows / pixels.shape[0], columns / pixels.shape[1]])
        shrunk[0, 0], shrunk[1, 1] = factors
        shrunk[:2, 2] = 0.5 * factors - 0.5
    whole = np.concatenate([view.matrix, [[0, 0, 1]]])
    picture = np.empty((view.rows, view.columns, 4), np.uint8)
    picture[..., :3] = cv2.warpAffine(
        small, _xy((whole @ np.linalg.inv(shrunk))[:2]), size, flags=cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )  # fmt: skip
    picture[..., 3] = cv2.warpAffine(
        classes, _xy(view.matrix), size, flags=cv2.INTER_NEAREST, borderMode=cv2.BORDER_CONSTANT
    )
    return picture


def _xy(matrix: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the matrix for x, y instead of row, column."""
    return np.array([
        [matrix[1, 1], matrix[1, 0], matrix[1, 2]], [matrix[0, 1], matrix[0, 0], matrix[0, 2]],
    ])  # fmt: skip


def _as_it_lies(truth: PhotoTruth, zoom: float, px_per_mm: float | None) -> View:
    """Return the whole photo, reduced by ``zoom``."""
    rows, columns = max(1, round(truth.height * zoom)), max(1, round(truth.width * zoom))
    shift = 0.5 * zoom - 0.5  # pixel centres are whole numbers
    return View(np.array([[zoom, 0, shift], [0, zoom, shift]]), rows, columns, px_per_mm)
