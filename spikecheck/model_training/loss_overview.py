"""How far the overview network is from its targets."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import torch
from torch.nn.functional import binary_cross_entropy_with_logits

from spikecheck.networks.outputs import OverviewMap

if TYPE_CHECKING:
    from torch import Tensor

    from spikecheck.model_training.targets_overview import OverviewTargets

# Weights so that each part moves the network about as much.
_WEIGHTS = {
    "spike": 2.0, "other": 1.0, "scale": 0.3, "direction": 1.0, "answers": 1.0,
}  # fmt: skip
_LN_VARIANCE = (-8.0, 3.0)
_SPIKE_CELL = 0.5


def overview_loss(maps: Tensor, answers: Tensor, targets: OverviewTargets) -> dict[str, Any]:
    """Return the weighted parts of the loss, scalars by name.

    Parameters
    ----------
    maps, answers
        Outputs of the network, (B, 6, H, W) and (B, 8).
    targets
        What they should be.
    """
    maps, answers = maps.float(), answers.float()
    on_spike = ((targets.spike > _SPIKE_CELL) * targets.known)[:, None]
    variance = maps[:, OverviewMap.LN_SCALE_VARIANCE].clamp(*_LN_VARIANCE)
    off = maps[:, OverviewMap.LN_SCALE] - torch.nan_to_num(targets.ln_scale)[:, None, None]
    # Gaussian likelihood with a spread of its own, Nix and Weigend 1994 (from memory)
    unlikely = 0.5 * (off**2 * torch.exp(-variance) + variance)
    scaled = on_spike[:, 0] * torch.isfinite(targets.ln_scale)[:, None, None]
    turned = _turned(maps[:, OverviewMap.DIRECTION : OverviewMap.DIRECTION + 2], targets.direction)
    pointed = on_spike[:, 0] * torch.isfinite(targets.direction).all(dim=1)
    told = torch.isfinite(targets.answers).float()
    parts = {
        "spike": _shares(maps[:, OverviewMap.SPIKE], targets.spike, targets.known),
        "other": _shares(maps[:, OverviewMap.OTHER_SPIKE], targets.other, targets.known),
        "scale": (unlikely * scaled).sum() / scaled.sum().clamp(min=1),
        "direction": (turned * pointed).sum() / pointed.sum().clamp(min=1),
        "answers": (
            binary_cross_entropy_with_logits(
                answers, torch.nan_to_num(targets.answers), reduction="none"
            ) * told
        ).sum() / told.sum().clamp(min=1),
    }  # fmt: skip
    return {name: _WEIGHTS[name] * part for name, part in parts.items()}


def _turned(arrows: Tensor, direction: Tensor) -> Tensor:
    """Return how far arrows point off, (B, H, W), 0 to 2; their length does not matter.

    Half of it forgives the wrong end (cosine of twice the angle): the line of a spike is seen long
    before its tip is told from its base, and without this half the arrows would stay at nothing,
    the middle between both ends.
    """
    arrows = arrows / arrows.norm(dim=1, keepdim=True).clamp(min=1e-3)
    cosine = (arrows * torch.nan_to_num(direction)).sum(dim=1)
    return (1 - cosine**2) + 0.5 * (1 - cosine)


def _shares(logits: Tensor, share: Tensor, known: Tensor) -> Tensor:
    wrong = binary_cross_entropy_with_logits(logits, share, reduction="none")
    return (wrong * known).sum() / known.sum().clamp(min=1)
