"""How unlike the training set a photo is: a squared Mahalanobis distance inside the network."""

from __future__ import annotations

import torch
from torch import Tensor, nn


class Strangeness(nn.Module):
    """Squared Mahalanobis distance of pooled features to those of the training set.

    Parameters
    ----------
    width
        Number of features. Until :meth:`settle` is called every distance is 0.
    """

    def __init__(self, width: int) -> None:
        super().__init__()
        self.register_buffer("mean", torch.zeros(width))
        self.register_buffer("whitening", torch.zeros(width, width))

    def forward(self, features: Tensor) -> Tensor:
        """Return the distance, (N, 1), of features (N, width)."""
        whitened = torch.matmul(features - self.mean, self.whitening)
        return (whitened * whitened).sum(dim=1, keepdim=True)

    def settle(self, features: Tensor) -> None:
        """Take mean and whitening from the features of the training set.

        The covariance is shrunk towards a multiple of the unit matrix by the weight of Ledoit and
        Wolf (2004, J. Multivariate Anal. 88: 365-411), so that few photos do no harm.

        Parameters
        ----------
        features
            float32 of shape (N, width), N of 2 or more.
        """
        values = features.double()
        count, width = values.shape
        mean = values.mean(dim=0)
        centred = values - mean
        covariance = centred.T @ centred / count
        level = covariance.diagonal().mean()
        target = level * torch.eye(width, dtype=values.dtype, device=values.device)
        distance = ((covariance - target) ** 2).sum()
        squares = (centred * centred).sum(dim=1)
        # sum of |x x' - S|^2 over the photos, without forming each product
        spread = (squares**2).sum() / count**2 - (covariance**2).sum() / count
        weight = (spread / distance.clamp(min=1e-12)).clamp(0, 1)
        shrunk = weight * target + (1 - weight) * covariance
        lengths, axes = torch.linalg.eigh(shrunk)
        floor = 1e-6 * lengths.max().clamp(min=1e-12)
        self.mean.copy_(mean)
        self.whitening.copy_(axes / lengths.clamp(min=floor).sqrt())
