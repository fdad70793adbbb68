"""Reads peaks out of a network's heat maps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Peak:
    """One peak of a heat map.

    Parameters
    ----------
    row, column
        Where it is, in cells, to fractions of a cell.
    cell
        Row and column of its highest cell.
    logit
        Logit there.
    """

    row: float
    column: float
    cell: tuple[int, int]
    logit: float


def sigmoid(logits: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return ``1 / (1 + exp(-logits))``, of the same shape, without overflow."""
    half = np.float32(0.5)
    return np.asarray(half * (1 + np.tanh(half * logits)), dtype=np.float32)


def find_peaks(logits: NDArray[np.float32], *, least: float, apart_cells: float) -> list[Peak]:
    """Return the peaks of a heat map, highest first.

    Parameters
    ----------
    logits
        float32 of shape (rows, columns): logits of the heat.
    least
        Lowest heat of a peak, 0..1.
    apart_cells
        A cell that a higher one lies within this distance of is no peak.

    Notes
    -----
    A plateau of equal cells counts once, at its first cell. Fractions of a cell come from the
    parabola through a peak and its neighbours in each direction.
    """
    heat = np.ascontiguousarray(sigmoid(logits))
    reach = max(1, int(apart_cells))
    offsets = np.arange(-reach, reach + 1)
    disc = offsets[:, None] ** 2 + offsets**2 <= apart_cells**2 + 1e-9
    highest = cv2.dilate(
        heat, disc.astype(np.uint8), borderType=cv2.BORDER_CONSTANT, borderValue=0.0
    )
    rows, columns = np.nonzero((heat >= highest) & (heat >= least))
    near_higher = np.zeros(heat.shape, np.bool_)  # by a peak already taken
    peaks: list[Peak] = []
    for i in np.argsort(-logits[rows, columns], kind="stable").tolist():
        row, column = int(rows[i]), int(columns[i])
        if near_higher[row, column]:
            continue
        top, left = max(row - reach, 0), max(column - reach, 0)
        part = near_higher[top : row + reach + 1, left : column + reach + 1]
        first_row, first_column = top - row + reach, left - column + reach
        part |= disc[first_row:, first_column:][: part.shape[0], : part.shape[1]]
        peaks.append(
            Peak(
                row=row + _fraction(heat[:, column], row),
                column=column + _fraction(heat[row], column),
                cell=(row, column),
                logit=float(logits[row, column]),
            )
        )
    return peaks


def _fraction(line: NDArray[np.float32], at: int) -> float:
    """Return how far beside cell ``at`` the top of the parabola through it lies, -0.5..0.5."""
    if not 0 < at < len(line) - 1:
        return 0.0
    before, here, after = (float(value) for value in line[at - 1 : at + 2])
    bend = before - 2 * here + after
    return 0.0 if bend >= 0 else float(np.clip(0.5 * (before - after) / bend, -0.5, 0.5))
