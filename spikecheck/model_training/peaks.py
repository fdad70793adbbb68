"""Peaks of heat maps against the truth: enough to watch a run, not what is reported."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
import torch
from torch.nn.functional import max_pool2d

from spikecheck.networks.preprocess import CELL_PX

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from torch import Tensor

_LEAST_SCORE = 0.05


def peaks(logits: Tensor) -> tuple[Tensor, Tensor]:
    """Return score (P,) and cells (P, 2) of the local maxima of one map (H, W), best first."""
    heat = torch.sigmoid(logits.float())
    top = max_pool2d(heat[None, None], 3, stride=1, padding=1)[0, 0]
    cells = torch.nonzero((heat == top) & (heat > _LEAST_SCORE))
    score = heat[cells[:, 0], cells[:, 1]]
    order = score.argsort(descending=True)
    return score[order], cells[order]


@dataclass(slots=True)
class Matches:
    """Found and missed objects of many photos.

    Parameters
    ----------
    scores, right
        Of every peak that counts: its score, and whether it is an object.
    found_scores
        Of every object that counts: the score it was found with, 0 when missed.
    kinds
        Of every object that counts: a number to tell groups apart.
    photos
        Photos so far.
    """

    scores: list[float] = field(default_factory=list)
    right: list[bool] = field(default_factory=list)
    found_scores: list[float] = field(default_factory=list)
    kinds: list[int] = field(default_factory=list)
    photos: int = 0

    def add(
        self,
        logits: Tensor,
        centre_px: NDArray[np.float32],
        reach_px: NDArray[np.float32],
        counts: NDArray[np.bool_],
        kinds: NDArray[np.int64],
    ) -> list[tuple[int, tuple[int, int]]]:
        """Match the peaks of one photo, best first, each to the nearest object not yet taken.

        Parameters
        ----------
        logits
            Heat map (H, W).
        centre_px, reach_px
            (row, column) of the objects in the input, and how far a peak may lie off; (K, 2), (K,).
        counts
            Which objects count; a peak at another counts as neither right nor wrong. (K,).
        kinds
            Group of each object, (K,).

        Returns
        -------
        list
            Number of the object and cell of each match.
        """
        score, cells = (t.cpu().numpy() for t in peaks(logits))
        self.photos += 1
        best = np.zeros(len(centre_px))
        places = cells * CELL_PX + (CELL_PX - 1) / 2
        off = np.hypot(*(places[:, None] - centre_px[None]).transpose(2, 0, 1))
        off = np.where(off > reach_px, np.inf, off)
        near = np.isfinite(off).any(axis=1)
        # most peaks of a young network are far from everything
        self.scores += score[~near].tolist()
        self.right += [False] * int((~near).sum())
        pairs = []
        for value, cell, away in zip(score[near], cells[near], off[near], strict=True):
            away[best > 0] = np.inf  # taken
            number = int(away.argmin())
            if not np.isfinite(away[number]):
                self.scores.append(float(value))
                self.right.append(False)
                continue
            best[number] = value
            pairs.append((number, (int(cell[0]), int(cell[1]))))
            if counts[number]:
                self.scores.append(float(value))
                self.right.append(True)
        self.found_scores += [float(s) for s in best[counts]]
        self.kinds += [int(k) for k in kinds[counts]]
        return pairs

    def score_at(self, false_per_photo: float) -> float:
        """Return the lowest score at which at most so many peaks a photo are wrong."""
        wrong = np.sort([s for s, r in zip(self.scores, self.right, strict=True) if not r])[::-1]
        allowed = int(false_per_photo * self.photos)
        return float(wrong[allowed]) + 1e-6 if len(wrong) > allowed else _LEAST_SCORE

    def recall(self, score: float, kind: int | None = None) -> float:
        """Return the share of objects, of one group or all, found at this score; NaN of none."""
        found = np.array(self.found_scores)
        if kind is not None:
            found = found[np.array(self.kinds) == kind]
        return float((found >= score).mean()) if len(found) else float("nan")

    def best_f1(self) -> tuple[float, float]:
        """Return the best F1 over all scores, and the score it is reached at."""
        order = np.argsort(self.scores)[::-1]
        if not len(order) or not self.found_scores:
            return 0.0, 0.5
        hits = np.cumsum(np.array(self.right)[order])
        f1 = 2 * hits / (np.arange(1, len(order) + 1) + len(self.found_scores))
        return float(f1.max()), float(np.array(self.scores)[order][f1.argmax()])
