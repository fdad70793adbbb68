"""How often the intervals of a re-estimated window hold the truth.

Run it with ``python -m tests.season.refit.coverage_study --draws 5000`` from the top of the
repository.
"""

from __future__ import annotations

import argparse
from dataclasses import dataclass

import numpy as np

from spikecheck.season.refit import reestimate
from spikecheck.thresholds.season import load_refit
from tests.benchmarks.report import show
from tests.season.refit.simulated import Truth, drawn

HEADINGS = ("spikes", "correlation of florets", "best", "first", "last", "estimated")


@dataclass(frozen=True)
class Coverage:
    """Shares of the estimates whose interval holds the truth, and the share with an estimate."""

    best: float
    first: float
    last: float
    estimated: float


def coverage(draws, spikes, truth, seed):
    """Draw seed set ``draws`` times and count."""
    rng = np.random.default_rng(seed)
    first, last = truth.edges(load_refit().share_of_best)
    hits = []
    for _ in range(draws):
        estimate = reestimate(drawn(rng, truth, spikes)).estimate
        if estimate is not None:
            pairs = ((estimate.best, truth.best), (estimate.first, first), (estimate.last, last))
            hits.append([one.low <= true <= one.high for one, true in pairs])
    return Coverage(*np.mean(hits, axis=0), estimated=len(hits) / draws)


def main():
    """Print a line for each number of spikes and correlation of florets."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--draws", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    rows = []
    for spikes in (20, 40, 80, 200):
        for correlation in (0.01, 0.05, 0.15):
            one = coverage(chosen.draws, spikes, Truth(correlation=correlation), chosen.seed)
            shares = (one.best, one.first, one.last, one.estimated)
            rows.append([str(spikes), str(correlation), *(f"{share:.3f}" for share in shares)])
    show("Intervals that hold the truth, shares", HEADINGS, rows)


if __name__ == "__main__":
    main()
