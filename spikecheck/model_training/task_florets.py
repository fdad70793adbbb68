"""Fitting the florets network: a step, and how well it does."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import torch

from spikecheck.imaging.strip import STRIP_PX_PER_MM
from spikecheck.model_training.augment import FLORETS_STRENGTH, patched, photographed
from spikecheck.model_training.blocks import mixed_precision
from spikecheck.model_training.crops_florets import floret_crops, whole_strip
from spikecheck.model_training.loss_florets import floret_loss
from spikecheck.model_training.marks import AntherColumn, FloretColumn
from spikecheck.model_training.network_florets import FloretsNetwork
from spikecheck.model_training.peaks import Matches
from spikecheck.model_training.sampling import Placed, placed, sampled
from spikecheck.model_training.targets_florets import floret_targets
from spikecheck.model_training.transplant import transplanted
from spikecheck.networks.outputs import FloretMap
from spikecheck.networks.preprocess import STRIP_MULTIPLE_PX
from spikecheck.vocabulary import QualityProblem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from torch import Tensor, nn

    from spikecheck.model_training.answers import Answers
    from spikecheck.model_training.photo_set import PhotoSet

_COUNTED_MM2 = 0.25  # anthers of at least this visible area count in recall
_FALSE_PER_PHOTO = 0.05
_ANTHER_REACH_MM, _FLORET_REACH_MM = 0.4, 1.0
_LEFTOVER_MAY_PASS = 0.01


class FloretsTask:
    """What fitting the florets network takes.

    Parameters
    ----------
    crop_px
        Height and width of the crops fitted on, a multiple of 32.
    """

    name = "florets"
    batch = 32

    def __init__(self, crop_px: int = 512) -> None:
        self.size = (crop_px, crop_px)
        """Height and width of the pictures fitted on, px."""

    def network(self) -> nn.Module:
        """Return a new network."""
        return FloretsNetwork()

    def loss(self, answers: Answers, photos: PhotoSet, index: Tensor) -> dict[str, Any]:
        """Return the parts of the loss on a random crop of each view ``index``."""
        with torch.no_grad():
            matrix = floret_crops(photos, index, self.size)
            images, classes = sampled(photos, index, matrix, self.size)
            complete = photos.complete[index]
            images, classes, anthers, florets = transplanted(
                images, classes, placed(photos.anthers[index], matrix, self.size),
                placed(photos.florets[index], matrix, self.size), complete,
            )  # fmt: skip
            images, _ = photographed(images, FLORETS_STRENGTH)
            images, classes = patched(images, classes)
            targets = floret_targets(
                classes, anthers, florets, complete=complete,
                florets_marked=photos.florets_marked[index], side_sign=matrix[:, 1, 1].sign(),
            )  # fmt: skip
        (maps,) = answers(images)
        return floret_loss(maps, targets)

    def features(self, network: nn.Module, photos: PhotoSet, most: int) -> Tensor:
        """Return what strangeness rests on, (N, F), of whole strips."""
        rows = []
        for number, images, _ in _strips(photos, most):
            if number % 2:  # half as they are, half in another light
                images, _ = photographed(images, FLORETS_STRENGTH)  # noqa: PLW2901
            rows.append(network.looked_at(images)[1])
        return torch.cat(rows)

    def measure(self, network: nn.Module, photos: PhotoSet, most: int) -> dict[str, float]:
        """Return figures to watch, on whole strips."""
        anthers, florets = Matches(), Matches()
        stages, best, leftover, off = [], [], [], []
        for number, images, matrix in _strips(photos, most):
            size = images.shape[2:]
            with mixed_precision(images):
                maps = network(images)[0][0].float()
            seen = _of_one(placed(photos.anthers[number : number + 1], matrix, size))
            area = np.nan_to_num(seen[2][:, AntherColumn.AREA_MM2], nan=np.inf)
            stage = np.nan_to_num(seen[2][:, AntherColumn.STAGE], nan=-1).astype(np.int64)
            longest = np.nan_to_num(seen[1].max(axis=1, initial=0), nan=0.0)
            reach = np.maximum(_ANTHER_REACH_MM * STRIP_PX_PER_MM, longest / 2)
            for taken, (row, column) in anthers.add(
                maps[FloretMap.ANTHER_HEAT], seen[0], reach, area >= _COUNTED_MM2, stage
            ):
                logits = maps[FloretMap.ANTHER_PIXEL + 1 : FloretMap.NEAR_ANTHESIS, row, column]
                stages.append(int(logits.argmax()) == stage[taken])
            listed = _of_one(placed(photos.florets[number : number + 1], matrix, size))
            open_ones = listed[2][:, FloretColumn.CAVITY] > 0
            clipped = listed[2][:, FloretColumn.CLIPPED].astype(np.int64)
            florets.add(
                maps[FloretMap.FLORET_HEAT], listed[0],
                np.full(len(clipped), _FLORET_REACH_MM * STRIP_PX_PER_MM, np.float32),
                open_ones | (clipped == 0), clipped,
            )  # fmt: skip
            best.append(float(maps[FloretMap.ANTHER_HEAT].sigmoid().max()))
            leftover.append(bool((area >= _COUNTED_MM2).any()) if len(area) else False)
            off.append(len(clipped))
        score = anthers.score_at(_FALSE_PER_PHOTO)
        f1, floret_score = florets.best_f1()
        return {
            "anther_recall": anthers.recall(score),
            "anther_recall_green": anthers.recall(score, 0),
            "anther_recall_yellow": anthers.recall(score, 1),
            "anther_recall_dehisced": anthers.recall(score, 2),
            "anther_score": score,
            "stage_right": float(np.mean(stages)) if stages else float("nan"),
            "floret_f1": f1,
            "floret_score": floret_score,
            "clean_pass": _clean_pass(np.array(best), np.array(leftover)),
            "photos": float(anthers.photos),
        }


def _strips(photos: PhotoSet, most: int) -> Iterator[tuple[int, Tensor, Tensor]]:
    """Yield number, picture (1, 3, H, W) and matrix of evenly chosen whole strips of spikes."""
    spikes = [
        number for number, photo in enumerate(photos.photos)
        if QualityProblem.NO_SPIKE not in (photo["problems"] or ())
    ]  # fmt: skip
    chosen = np.linspace(0, len(spikes) - 1, min(most, len(spikes))).astype(int)
    for number in np.array(spikes, np.int64)[chosen]:
        matrix, size = whole_strip(photos, int(number), STRIP_MULTIPLE_PX)
        index = torch.tensor([int(number)], device=matrix.device)
        yield int(number), sampled(photos, index, matrix, size)[0], matrix


def _of_one(objects: Placed) -> tuple[Tensor, Tensor, Tensor]:
    """Return centre, size and columns of what lies inside the only crop."""
    inside = objects.inside[0]
    return tuple(
        t[0][inside].cpu().numpy() for t in (objects.centre, objects.size, objects.columns)
    )


def _clean_pass(best: Tensor, leftover: Tensor) -> float:
    """Return the share of clean spikes that pass when at most 1 % of the others do."""
    if leftover.all() or not leftover.any():
        return float("nan")
    limit = np.quantile(best[leftover], _LEFTOVER_MAY_PASS)
    return float((best[~leftover] < limit).mean())
