"""Which plant each seed stands for, so that a range of seeds is a mixed set."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.synthetic.randomness import stream
from spikecheck.synthetic.solid.wish import PLANT_FAMILIES, POSE_FAMILIES, PlantWish

if TYPE_CHECKING:
    from collections.abc import Mapping

    import numpy as np

# Own choice: most of what a checker sees is prepared; half of it has something left, so that
# there is as much to learn from what is left as from what is clean.
SHARES: Mapping[str, float] = {
    "leftover": 0.40, "clean": 0.35, "partly": 0.10, "heading": 0.08, "anthesis": 0.07,
}  # fmt: skip
_LEFTOVERS = ((1, 0.3), (2, 0.2), (3, 0.15), (5, 0.2), (9, 0.15))
_PLENTY = (4, 13)  # leftovers more, from and below
_POSES = tuple(pose for pose in POSE_FAMILIES if pose != "none")


def draw_order(seed: int, *, state: str | None = None, plenty: bool = False) -> PlantWish:
    """Return the plant a seed stands for.

    Parameters
    ----------
    seed
        0 or more.
    state
        A state of :class:`~spikecheck.synthetic.solid.wish.PlantWish`; None draws one.
    plenty
        Whether many more anthers are left on spikes that have any, and many more things that look
        like them lie on all: a network learns from each, and what they sit on costs the most. Not
        for spikes that anything is measured or chosen on.
    """
    rng = stream("solid", seed, "order")
    drawn = _drawn(rng)
    plant = str(rng.choice(PLANT_FAMILIES, p=(0.26, 0.26, 0.14, 0.12, 0.12, 0.10)))
    pose = str(rng.choice(_POSES, p=(0.26, 0.34, 0.16, 0.10, 0.14)))
    numbers, weights = zip(*_LEFTOVERS, strict=True)
    leftovers = int(rng.choice(numbers, p=weights)) + int(rng.integers(0, 2))
    more = int(rng.integers(*_PLENTY)) if plenty else 0
    if state is not None and state != "prepared":
        drawn = state
    elif state == "prepared" and drawn not in {"leftover", "clean"}:
        drawn = "leftover" if leftovers % 2 else "clean"
    if drawn == "leftover":
        return PlantWish("prepared", leftovers + more, plant, pose, plenty)
    if drawn == "clean":
        return PlantWish("prepared", 0, plant, "none", plenty)
    if drawn == "heading":
        return PlantWish("heading", 0, plant, "none", plenty)
    return PlantWish(drawn, None, plant, pose, plenty)


def drawn_state(seed: int) -> str:
    """Return what a seed stands for, a key of :data:`SHARES`."""
    return _drawn(stream("solid", seed, "order"))


def _drawn(rng: np.random.Generator) -> str:
    return str(rng.choice(list(SHARES), p=list(SHARES.values())))
