"""Seed set drawn from a known curve, spikes scattering more than florets."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from spikecheck.season.refit import SeedSet


@dataclass(frozen=True)
class Truth:
    """Log-odds ``height - ((x - best) / width)^2``, x in degree-days.

    ``correlation`` is that of florets of one spike (beta-binomial): their variance is
    ``1 + (florets - 1) * correlation`` times the binomial one.
    """

    best: float = 60.0
    width: float = 30.0
    height: float = 0.5
    correlation: float = 0.05

    def edges(self, share):
        """Where the share of florets that set seed is ``share`` of the highest."""
        high = 1 / (1 + np.exp(-self.height))
        drop = self.height - np.log(share * high / (1 - share * high))
        return self.best - self.width * np.sqrt(drop), self.best + self.width * np.sqrt(drop)


def drawn(rng, truth, spikes):
    """Seed sets of spikes pollinated between 10 and 120 degree-days, 16 to 32 florets each."""
    x = rng.uniform(10, 120, spikes)
    florets = rng.integers(16, 33, spikes)
    p = 1 / (1 + np.exp(-(truth.height - ((x - truth.best) / truth.width) ** 2)))
    total = (1 - truth.correlation) / truth.correlation
    seeds = rng.binomial(florets, rng.beta(p * total, (1 - p) * total))
    return [SeedSet("C-014", k, float(x[k]), int(seeds[k]), int(florets[k])) for k in range(spikes)]
