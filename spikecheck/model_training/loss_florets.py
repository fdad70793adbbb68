"""How far the florets network is from its targets."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import torch
from torch.nn.functional import (
    binary_cross_entropy_with_logits,
    cross_entropy,
    smooth_l1_loss,
)

from spikecheck.model_training.heat import at_cells, focal_loss, nudged
from spikecheck.model_training.on_device import constant
from spikecheck.model_training.targets_florets import IGNORED
from spikecheck.networks.outputs import FloretMap
from spikecheck.thresholds import load_thresholds

if TYPE_CHECKING:
    from torch import Tensor

    from spikecheck.model_training.targets_florets import FloretTargets

# Weights so that each part moves the network about as much; a missed anther costs most.
_WEIGHTS = {
    "anther_heat": 1.0, "floret_heat": 1.0, "anther_pixel": 2.0, "tissue": 1.0, "size": 0.3,
    "stage": 0.5, "attribute": 0.3, "cavity": 0.5, "holds_anther": 0.5, "uncut": 0.5,
}  # fmt: skip
# One opening in sixteen is mostly hidden; one that is taken for seen lets a spike pass unsure.
_HIDDEN_WEIGHT = 4.0
_HIDDEN_BELOW = load_thresholds().assessment.cavity_seen_least  # where judging draws the line
_ANTHER_PIXEL_WEIGHTS = (1.0, 4.0, 4.0, 4.0)  # a cell of an anther is rare against one of none
_TISSUE_WEIGHTS = (1.0, 1.0, 1.5)


def floret_loss(maps: Tensor, targets: FloretTargets) -> dict[str, Any]:
    """Return the weighted parts of the loss, scalars by name.

    Parameters
    ----------
    maps
        Output of the network, (B, 20, H, W).
    targets
        What it should be.
    """
    maps = maps.float()
    anther = at_cells(maps, nudged(targets.anther_cells))
    floret = at_cells(maps, nudged(targets.floret_cells))
    taught, listed = targets.anther_taught, targets.floret_taught
    heats = focal_loss(
        torch.stack([maps[:, FloretMap.ANTHER_HEAT], maps[:, FloretMap.FLORET_HEAT]]),
        torch.stack([targets.anther_heat, targets.floret_heat]),
        torch.stack([targets.anther_weight, targets.floret_weight]),
    )
    of_anther = _truths(
        anther[..., FloretMap.NEAR_ANTHESIS : FloretMap.ANTHER_SIZE],
        torch.stack([targets.near_anthesis, targets.broken], dim=2), taught,
    )  # fmt: skip
    of_floret = _truths(
        torch.cat(
            [
                floret[..., FloretMap.CLIPPED : FloretMap.CAVITY],
                floret[..., FloretMap.HOLDS_ANTHER : FloretMap.UNCUT],
            ],
            dim=2,
        ),
        torch.stack([targets.clipped, targets.holds_anther, targets.left], dim=2),
        listed,
    )  # fmt: skip
    cavity = torch.nan_to_num(targets.cavity, nan=-1.0)
    hidden = (cavity >= 0) & (cavity < _HIDDEN_BELOW)
    parts = {
        "anther_heat": heats[0],
        "floret_heat": heats[1],
        "tissue": _classes(
            maps[:, FloretMap.TISSUE : FloretMap.ANTHER_HEAT], targets.tissue, _TISSUE_WEIGHTS
        ),
        "anther_pixel": _classes(
            maps[:, FloretMap.ANTHER_PIXEL : FloretMap.NEAR_ANTHESIS], targets.anther_pixel,
            _ANTHER_PIXEL_WEIGHTS,
        ),
        # among all cells those of anthers weigh too little to tell their stages apart
        "stage": _classes(
            maps[:, FloretMap.ANTHER_PIXEL + 1 : FloretMap.NEAR_ANTHESIS],
            torch.where(targets.anther_pixel > 0, targets.anther_pixel - 1, IGNORED),
        ),
        "size": _sizes(anther, FloretMap.ANTHER_SIZE, targets.anther_ln_mm, taught)
        + _sizes(floret, FloretMap.FLORET_SIZE, targets.floret_ln_mm, listed),
        "attribute": of_anther.sum() + of_floret[0] + of_floret[2],
        "cavity": _weighted_truth(
            floret[..., FloretMap.CAVITY], cavity.clamp(min=0),
            (listed & (cavity >= 0)) * (1 + (_HIDDEN_WEIGHT - 1) * hidden),
        ),
        "holds_anther": of_floret[1],
        "uncut": _weighted_truth(maps[:, FloretMap.UNCUT], targets.uncut, targets.uncut_weight),
    }  # fmt: skip
    return {name: _WEIGHTS[name] * part for name, part in parts.items()}


def _classes(logits: Tensor, classes: Tensor, weights: tuple[float, ...] | None = None) -> Tensor:
    """Return the cross-entropy, 0 when no cell is known."""
    weight = None if weights is None else constant(weights, logits.device)
    total = cross_entropy(logits, classes, weight=weight, ignore_index=IGNORED, reduction="sum")
    return total / (classes != IGNORED).sum().clamp(min=1)


def _sizes(values: Tensor, first: int, ln_mm: Tensor, counted: Tensor) -> Tensor:
    known = counted[..., None] & torch.isfinite(ln_mm)
    wrong = smooth_l1_loss(
        values[..., first : first + 2], torch.nan_to_num(ln_mm), reduction="none", beta=0.1
    )
    return (wrong * known).sum() / known.sum().clamp(min=1)


def _truths(logits: Tensor, truth: Tensor, counted: Tensor) -> Tensor:
    """Return the cross-entropy of each answer, (C,), from (B, K, C), where it is known."""
    known = counted[..., None] & torch.isfinite(truth)
    wrong = binary_cross_entropy_with_logits(logits, torch.nan_to_num(truth), reduction="none")
    return (wrong * known).sum(dim=(0, 1)) / known.sum(dim=(0, 1)).clamp(min=1)


def _weighted_truth(logits: Tensor, truth: Tensor, weight: Tensor) -> Tensor:
    wrong = binary_cross_entropy_with_logits(logits, truth, reduction="none")
    return (wrong * weight).sum() / weight.sum().clamp(min=1)
