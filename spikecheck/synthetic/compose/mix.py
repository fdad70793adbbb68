"""Which kinds of photo a set is mixed of."""

from __future__ import annotations

from enum import StrEnum

import numpy as np

from spikecheck.synthetic.compose.randomness import part_stream


class Mix(StrEnum):
    """What a set is mixed of."""

    FAULTS = "faults"
    """Good photos and such with a fault."""
    FAULTY = "faulty"
    """Photos with a fault alone."""
    GOOD = "good"
    """Good photos alone."""
    BARE = "bare"
    """The render as it is, on even grey: no scene, nothing beside it, no errors of the phone."""
    LITTERED = "littered"
    """As :attr:`FAULTS`, each with many look-alikes of anthers on it: for fitting only."""


# Seven in ten show the spike as it is, well photographed; the rest has one fault. Pictures
# without a close spike come oftenest: there is most to be learned about what is not one.
PLAIN_SHARE = 0.7
_FAULT_WEIGHTS: dict[str, float] = {
    "no_spike": 0.27, "several_spikes": 0.1, "too_small": 0.09, "cut_off": 0.1, "dark": 0.08,
    "overexposed": 0.08, "defocus": 0.1, "motion": 0.08, "occluded": 0.1,
}  # fmt: skip


def draw_kind(seed: int, layer_seed: int, plain: str, mix: Mix = Mix.FAULTS) -> str:
    """Return the kind of one photo: ``plain``, or a fault.

    Parameters
    ----------
    seed
        Seed of the photo's composition.
    layer_seed
        Seed of its layer.
    plain
        The kind of a good photo of that layer.
    mix
        What its set is mixed of.
    """
    if mix in {Mix.GOOD, Mix.BARE}:
        return plain
    rng = part_stream(seed, layer_seed, "any", "kind")
    if rng.random() < PLAIN_SHARE and mix is not Mix.FAULTY:
        return plain
    weights = np.array(list(_FAULT_WEIGHTS.values()))
    return str(rng.choice(list(_FAULT_WEIGHTS), p=weights / weights.sum()))
