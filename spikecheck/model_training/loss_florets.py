"""How far the florets network is from its targets."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import torch
from torch.nn.functional import (
    binary_cross_entropy_with_logits,
    cross_entropy,
    smooth_l1_loss,
)

from spikecheck.model_training.channels import FloretMap
from spikecheck.model_training.heat import at_cells, focal_loss, nudged
from spikecheck.model_training.targets_florets import IGNORED

if TYPE_CHECKING:
    from torch import Tensor

    from spikecheck.model_training.targets_florets import FloretTargets

# Weights so that each part moves the network about as much; a missed anther costs most.
_WEIGHTS = {
    "anther_heat": 1.0, "floret_heat": 1.0, "anther_pixel": 2.0, "tissue": 1.0, "size": 0.3,
    "attribute": 0.3, "holds_anther": 0.5, "uncut": 0.5,
}  # fmt: skip
_ANTHER_PIXEL_WEIGHT = 4.0  # of a cell of an anther against one of none: they are rare
_OVER_WEIGHT = 1.5


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
    weight = maps.new_tensor([1.0, *(3 * [_ANTHER_PIXEL_WEIGHT])])
    tissue_weight = maps.new_tensor([1.0, 1.0, _OVER_WEIGHT])
    anther = at_cells(maps, nudged(targets.anther_cells))
    floret = at_cells(maps, nudged(targets.floret_cells))
    taught, listed = targets.anther_taught, targets.floret_taught
    parts = {
        "anther_heat": focal_loss(
            maps[:, FloretMap.ANTHER_HEAT], targets.anther_heat, targets.anther_weight
        ),
        "floret_heat": focal_loss(
            maps[:, FloretMap.FLORET_HEAT], targets.floret_heat, targets.floret_weight
        ),
        "tissue": _classes(
            maps[:, FloretMap.TISSUE : FloretMap.ANTHER_HEAT], targets.tissue, tissue_weight
        ),
        "anther_pixel": _classes(
            maps[:, FloretMap.ANTHER_PIXEL : FloretMap.NEAR_ANTHESIS], targets.anther_pixel, weight
        ),
        "size": _sizes(anther, FloretMap.ANTHER_SIZE, targets.anther_ln_mm, taught)
        + _sizes(floret, FloretMap.FLORET_SIZE, targets.floret_ln_mm, listed),
        "attribute": _truth_of(anther[..., FloretMap.NEAR_ANTHESIS], targets.near_anthesis, taught)
        + _truth_of(anther[..., FloretMap.BROKEN], targets.broken, taught)
        + _truth_of(floret[..., FloretMap.CLIPPED], targets.clipped, listed)
        + _truth_of(floret[..., FloretMap.CAVITY], targets.cavity, listed)
        + _truth_of(floret[..., FloretMap.LEFT], targets.left, listed),
        "holds_anther": _truth_of(
            floret[..., FloretMap.HOLDS_ANTHER], targets.holds_anther, listed
        ),
        "uncut": _weighted_truth(maps[:, FloretMap.UNCUT], targets.uncut, targets.uncut_weight),
    }
    return {name: _WEIGHTS[name] * part for name, part in parts.items()}


def _classes(logits: Tensor, classes: Tensor, weight: Tensor) -> Tensor:
    """Return the cross-entropy, 0 when no cell is known."""
    total = cross_entropy(logits, classes, weight=weight, ignore_index=IGNORED, reduction="sum")
    return total / (classes != IGNORED).sum().clamp(min=1)


def _sizes(values: Tensor, first: int, ln_mm: Tensor, counted: Tensor) -> Tensor:
    known = counted[..., None] & torch.isfinite(ln_mm)
    wrong = smooth_l1_loss(
        values[..., first : first + 2], torch.nan_to_num(ln_mm), reduction="none", beta=0.1
    )
    return (wrong * known).sum() / known.sum().clamp(min=1)


def _truth_of(logits: Tensor, truth: Tensor, counted: Tensor) -> Tensor:
    return _weighted_truth(
        logits, torch.nan_to_num(truth), (counted & torch.isfinite(truth)).float()
    )


def _weighted_truth(logits: Tensor, truth: Tensor, weight: Tensor) -> Tensor:
    wrong = binary_cross_entropy_with_logits(logits, truth, reduction="none")
    return (wrong * weight).sum() / weight.sum().clamp(min=1)
