"""When stigmas take pollen, estimated anew from a user's own seed set."""

from spikecheck.season.refit.reestimate import Refit, RefitEstimate, reestimate
from spikecheck.season.refit.seed_sets import SeedSet, seed_sets

__all__ = ["Refit", "RefitEstimate", "SeedSet", "reestimate", "seed_sets"]
