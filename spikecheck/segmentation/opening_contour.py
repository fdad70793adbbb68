"""Follows the rim of a possible opening all round and measures what it encloses.

In polar coordinates of the proposed ellipse the rim is a nearly straight line: dynamic
programming (as in active contours solved by it: A. Amini, T. Weymouth, R. Jain (1990), IEEE
Transactions on Pattern Analysis and Machine Intelligence 12:855-867) finds the closed line of the
strongest ridges with something darker within.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.segmentation.opening_candidates import EllipseCandidate, LightnessViews

ANGLES = 32
SECTORS = 8
_SECTOR_SEEN = 0.25
_FAINT_RIDGE, _FAINT_STEP = 0.15, 2.0  # enough to follow a rim whose opening is sure
_RIDGE_SEEN, _STEP_SEEN = 0.3, 4.0  # of full ridge strength; L*
_RADII = np.linspace(0.45, 1.65, 25)  # of the ellipse's own radius
_LAPS = 3  # the middle lap closes on itself
_MOVES = np.array([-2, -1, 0, 1, 2])
_MOVE_COST = np.array([0.12, 0.05, 0.0, 0.05, 0.12])
_RIDGE_WEIGHT, _STEP_WEIGHT = 0.7, 0.3
_FULL_STEP = 25.0  # L* from the rim down into the cavity that counts as full strength
_INWARDS = 3  # radii between the rim and the place looked at within


@dataclass(frozen=True, slots=True, eq=False)
class Contours:
    """Rims of N candidates.

    Parameters
    ----------
    rows, columns
        float32 of shape (N, 32): the rim, clockwise, strip px.
    ridge
        float32 of shape (N, 32): strength of the rim's ridge, 0..1.
    step
        float32 of shape (N, 32): how much darker it is just within the rim, L*.
    roughness
        float32 of shape (N,): mean change of radius from angle to angle, in steps.
    """

    rows: NDArray[np.float32]
    columns: NDArray[np.float32]
    ridge: NDArray[np.float32]
    step: NDArray[np.float32]
    roughness: NDArray[np.float32]

    @property
    def seen(self) -> NDArray[np.bool_]:
        """Where a rim with something darker within was seen, bool of shape (N, 32)."""
        return np.asarray((self.ridge > _RIDGE_SEEN) & (self.step > _STEP_SEEN))

    def rim_seen(self, i: int) -> float:
        """Share of the eight sectors of rim ``i`` in which a quarter or more of it was seen."""
        faint = (self.ridge[i] > _FAINT_RIDGE) & (self.step[i] > _FAINT_STEP)
        return float((faint.reshape(SECTORS, -1).mean(axis=1) >= _SECTOR_SEEN).mean())


def trace_contours(candidates: Sequence[EllipseCandidate], views: LightnessViews) -> Contours:
    """Trace the rim of every candidate (at least one)."""
    rows, columns = _polar_grid(candidates)
    ridge = sampled(views.ridge, rows, columns)
    lightness = sampled(views.lightness, rows, columns)
    within = np.concatenate(
        [np.repeat(lightness[:, :1], _INWARDS, axis=1), lightness[:, :-_INWARDS]], axis=1
    )
    step = lightness - within
    merit = _RIDGE_WEIGHT * ridge + _STEP_WEIGHT * np.clip(step / _FULL_STEP, 0, 1)
    path = _closed_path(merit)
    pick = (np.arange(len(path))[:, None], path, np.arange(ANGLES)[None])
    turns = np.diff(np.concatenate([path, path[:, :1]], axis=1), axis=1)
    return Contours(
        rows=rows[pick],
        columns=columns[pick],
        ridge=ridge[pick],
        step=step[pick],
        roughness=np.abs(turns).mean(axis=1).astype(np.float32),
    )


def _polar_grid(
    candidates: Sequence[EllipseCandidate],
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Return rows and columns, each float32 of shape (N, radii, angles)."""
    angle = np.arange(ANGLES) * 2 * np.pi / ANGLES
    column = np.array([c.column for c in candidates])[:, None, None]
    row = np.array([c.row for c in candidates])[:, None, None]
    across = np.array([c.half_across_px for c in candidates])[:, None, None]
    along = np.array([c.half_along_px for c in candidates])[:, None, None]
    turn = np.radians([c.turn_deg for c in candidates])[:, None, None]
    u = across * _RADII[None, :, None] * np.cos(angle)
    v = along * _RADII[None, :, None] * np.sin(angle)
    rows = row + u * np.sin(turn) + v * np.cos(turn)
    columns = column + u * np.cos(turn) - v * np.sin(turn)
    return rows.astype(np.float32), columns.astype(np.float32)


def sampled(
    picture: NDArray[np.float32], rows: NDArray[np.float32], columns: NDArray[np.float32]
) -> NDArray[np.float32]:
    """Sample between pixels; rows and columns are float32 of shape (N, any, angles)."""
    flat = cv2.remap(
        picture, columns.reshape(-1, ANGLES), rows.reshape(-1, ANGLES), cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )  # fmt: skip
    return np.asarray(flat, dtype=np.float32).reshape(rows.shape)


def _closed_path(merit: NDArray[np.float32]) -> NDArray[np.intp]:
    """Return the best closed line through ``merit``: radius index by angle, shape (N, angles)."""
    laps = np.concatenate([np.moveaxis(merit, 2, 0)] * _LAPS)  # angle first: steps are contiguous
    reach, radii = int(_MOVES.max()), laps.shape[2]
    padded = np.pad(laps[0], ((0, 0), (reach, reach)), constant_values=-np.inf)
    moves = np.empty((len(laps) - 1, *laps.shape[1:]), np.int8)
    for angle, chosen in enumerate(moves, start=1):
        best = np.full(laps.shape[1:], -np.inf, laps.dtype)
        for move, cost in zip(_MOVES, _MOVE_COST, strict=True):
            option = padded[:, reach + move : reach + move + radii] - np.float32(cost)
            np.copyto(chosen, move, where=option > best, casting="same_kind")
            np.maximum(best, option, out=best)
        padded[:, reach : reach + radii] = best + laps[angle]
    each = np.arange(laps.shape[1])
    path = [padded[:, reach : reach + radii].argmax(axis=1)]
    for chosen in moves[::-1]:
        path.append(path[-1] + chosen[each, path[-1]])
    whole = np.stack(path[::-1], axis=1)
    return np.asarray(whole[:, ANGLES : 2 * ANGLES], dtype=np.intp)
