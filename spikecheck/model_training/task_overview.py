"""Fitting the overview network: a step, and how well it does."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import torch
from torch.nn.functional import cosine_similarity

from spikecheck.model_training.augment import OVERVIEW_STRENGTH, photographed
from spikecheck.model_training.blocks import mixed_precision
from spikecheck.model_training.class_map import PixelClass
from spikecheck.model_training.frames_overview import (
    GREY,
    Frames,
    beside,
    random_frames,
    whole_frames,
)
from spikecheck.model_training.loss_overview import overview_loss
from spikecheck.model_training.network_overview import OverviewNetwork
from spikecheck.model_training.sampling import sampled
from spikecheck.model_training.targets_overview import overview_targets
from spikecheck.networks.outputs import OverviewGlobal, OverviewMap
from spikecheck.networks.preprocess import OVERVIEW_SIDE_PX

if TYPE_CHECKING:
    from collections.abc import Iterator

    from torch import Tensor, nn

    from spikecheck.model_training.answers import Answers
    from spikecheck.model_training.photo_set import PhotoSet

_SIZE = (OVERVIEW_SIDE_PX, OVERVIEW_SIDE_PX)
_BATCH_MEASURED = 16
_HALF = 0.5


class OverviewTask:
    """What fitting the overview network takes."""

    name = "overview"
    batch = 48
    size = _SIZE
    """Height and width of the pictures fitted on, px."""

    def network(self) -> nn.Module:
        """Return a new network."""
        return OverviewNetwork()

    def loss(self, answers: Answers, photos: PhotoSet, index: Tensor) -> dict[str, Any]:
        """Return the parts of the loss on a random frame of each view ``index``."""
        with torch.no_grad():
            frames = random_frames(photos, index)
            images, classes = sampled(photos, index, frames.matrix, _SIZE)
            images, lost = photographed(images, OVERVIEW_STRENGTH)
            images, classes = _letterboxed(images, classes, frames)
            targets = overview_targets(classes, photos, index, frames, lost)
        maps, told = answers(images)
        return overview_loss(maps, told, targets)

    def features(self, network: nn.Module, photos: PhotoSet, most: int) -> Tensor:
        """Return what strangeness rests on, (N, F), of whole photos."""
        rows = []
        for index, images, _, _ in _whole(photos, most):
            varied, _ = photographed(images, OVERVIEW_STRENGTH)
            odd = (index % 2 == 1)[:, None, None, None]  # half as they are, half in another light
            rows.append(network.looked_at(torch.where(odd, varied, images))[2])
        return torch.cat(rows)

    def measure(self, network: nn.Module, photos: PhotoSet, most: int) -> dict[str, float]:
        """Return figures to watch, on whole photos."""
        shared, either, scale_off, angle_off, told, true = [], [], [], [], [], []
        for index, images, classes, frames in _whole(photos, most):
            with mixed_precision(images):
                maps, logits, _ = network(images)
            still = torch.zeros(len(index), dtype=torch.bool, device=images.device)
            targets = overview_targets(classes, photos, index, frames, still)
            maps = maps.float()
            seen, real = maps[:, OverviewMap.SPIKE] > 0, targets.spike > _HALF
            shared.append((seen & real).sum(dim=(1, 2)))
            either.append((seen | real).sum(dim=(1, 2)))
            weight = real / real.sum(dim=(1, 2), keepdim=True)
            mean = (maps[:, OverviewMap.LN_SCALE] * weight).sum(dim=(1, 2))
            scale_off.append((mean - targets.ln_scale).abs())
            pointed = maps[:, OverviewMap.DIRECTION : OverviewMap.DIRECTION + 2] * real[:, None]
            angle_off.append(cosine_similarity(
                pointed.sum(dim=(2, 3)), (targets.direction * real[:, None]).sum(dim=(2, 3))
            ).clamp(-1, 1).acos())  # fmt: skip
            told.append(logits.float() > 0)
            true.append(targets.answers)
        union = torch.cat(either)
        figures = {
            "spike_iou": float((torch.cat(shared)[union > 0] / union[union > 0]).mean()),
            "scale_error": float(torch.cat(scale_off).nanmedian()),
            "angle_error_degrees": float(torch.cat(angle_off).nanmedian().rad2deg()),
            "photos": float(len(union)),
        }
        for answer in OverviewGlobal:
            figures[f"{answer.name.lower()}_balanced"] = _balanced(
                torch.cat(told)[:, answer].cpu().numpy(), torch.cat(true)[:, answer].cpu().numpy()
            )
        return figures


def _letterboxed(images: Tensor, classes: Tensor, frames: Frames) -> tuple[Tensor, Tensor]:
    outside = beside(frames.extent)
    return (
        torch.where(outside[:, None], GREY, images),
        torch.where(outside, int(PixelClass.BACKGROUND), classes),
    )


def _whole(photos: PhotoSet, most: int) -> Iterator[tuple[Tensor, Tensor, Tensor, Frames]]:
    """Yield numbers, pictures, classes and frames of evenly chosen whole photos."""
    chosen = np.linspace(0, len(photos) - 1, min(most, len(photos))).astype(int)
    for begin in range(0, len(chosen), _BATCH_MEASURED):
        part = torch.from_numpy(chosen[begin : begin + _BATCH_MEASURED]).to(photos.pixels.device)
        frames = whole_frames(photos, part)
        images, classes = sampled(photos, part, frames.matrix, _SIZE)
        yield part, *_letterboxed(images, classes, frames), frames


def _balanced(told: Tensor, true: Tensor) -> float:
    """Return the mean of the shares of yes and of no that are told right; NaN without both."""
    yes, no = told[true == 1], told[true == 0]
    if not len(yes) or not len(no):
        return float("nan")
    return float((yes.mean() + (~no).mean()) / 2)
