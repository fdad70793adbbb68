"""Building blocks of the networks: only operations that run fast on a plain processor.

Regular 3 x 3 convolutions carry most of the work, since the run-time library spends more time on
memory than on arithmetic in depthwise ones; where the picture is small, wide depthwise kernels
bring the neighbourhood in. Activations are ReLU, which the run-time library fuses into the
convolution before it.
"""

from __future__ import annotations

import torch
from torch import Tensor, nn


def mixed_precision(images: Tensor) -> torch.autocast:
    """Return a context in which a GPU computes in bfloat16; on a processor nothing changes."""
    # no weight is used twice, and a recorded step must not keep what was cast outside of it
    return torch.autocast(
        images.device.type, torch.bfloat16, enabled=images.is_cuda, cache_enabled=False
    )


_LEFT_OUT = 0.1  # share of pictures in which a block is left out while fitting


def sometimes_left_out(branch: Tensor, *, fitting: bool) -> Tensor:
    """Leave the branch beside a shortcut out of some pictures (Huang et al. 2016).

    A network that cannot rely on every block learns its photos by heart less.

    Parameters
    ----------
    branch
        float of shape (N, C, H, W).
    fitting
        Whether the network is being fitted; else nothing changes.
    """
    if not fitting:
        return branch
    kept = torch.rand(len(branch), 1, 1, 1, device=branch.device) >= _LEFT_OUT
    return branch * (kept.to(branch.dtype) / (1 - _LEFT_OUT))


def conv_norm(
    inputs: int, outputs: int, kernel: int = 3, *, stride: int = 1, groups: int = 1
) -> nn.Sequential:
    """Return convolution and batch norm; ``kernel`` is odd, the size is kept up to the stride."""
    return nn.Sequential(
        nn.Conv2d(
            inputs, outputs, kernel, stride=stride, padding=kernel // 2, groups=groups, bias=False
        ),
        nn.BatchNorm2d(outputs),
    )


class ConvUnit(nn.Module):
    """Convolution, batch norm, ReLU."""

    def __init__(self, inputs: int, outputs: int, kernel: int = 3, *, stride: int = 1) -> None:
        super().__init__()
        self.body = conv_norm(inputs, outputs, kernel, stride=stride)

    def forward(self, maps: Tensor) -> Tensor:
        """Map (N, inputs, H, W) to (N, outputs, H / stride, W / stride)."""
        return torch.relu(self.body(maps))


class Residual(nn.Module):
    """Two regular 3 x 3 convolutions beside a shortcut (He et al. 2016, basic block)."""

    def __init__(self, width: int) -> None:
        super().__init__()
        self.body = nn.Sequential(
            conv_norm(width, width), nn.ReLU(inplace=True), conv_norm(width, width)
        )

    def forward(self, maps: Tensor) -> Tensor:
        """Map (N, width, H, W) to the same shape."""
        return torch.relu(maps + sometimes_left_out(self.body(maps), fitting=self.training))


class WideView(nn.Module):
    """A wide depthwise convolution and a pointwise bottleneck beside a shortcut.

    Brings neighbouring florets in where the picture is small (after Liu et al. 2022, with batch
    norm and ReLU in place of layer norm and GELU).
    """

    def __init__(self, width: int, kernel: int = 7, *, growth: int = 2) -> None:
        super().__init__()
        self.body = nn.Sequential(
            conv_norm(width, width, kernel, groups=width),
            conv_norm(width, width * growth, 1),
            nn.ReLU(inplace=True),
            conv_norm(width * growth, width, 1),
        )

    def forward(self, maps: Tensor) -> Tensor:
        """Map (N, width, H, W) to the same shape."""
        return torch.relu(maps + sometimes_left_out(self.body(maps), fitting=self.training))


class Merge(nn.Module):
    """Doubles the size of the coarse maps and adds the fine ones (Lin et al. 2017), then mixes."""

    def __init__(self, coarse: int, fine: int, width: int) -> None:
        super().__init__()
        self.down = conv_norm(coarse, width, 1)
        self.side = conv_norm(fine, width, 1)
        self.mix = ConvUnit(width, width)

    def forward(self, coarse: Tensor, fine: Tensor) -> Tensor:
        """Map (N, coarse, H, W) and (N, fine, 2H, 2W) to (N, width, 2H, 2W)."""
        grown = nn.functional.interpolate(self.down(coarse), scale_factor=2.0, mode="nearest")
        return self.mix(torch.relu(grown + self.side(fine)))
