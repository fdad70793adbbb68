"""How long jobs take on which machine.

Times were measured on one GPU with 16 cores and on two with 32; other machines are reckoned from
that, and only the plan depends on it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from spikecheck.model_training.make_recipe import FitRecipe


@dataclass(frozen=True, slots=True)
class Machine:
    """What a plan is reckoned for.

    Parameters
    ----------
    gpus
        Their numbers; ``("",)`` without one.
    workers
        Cores.
    """

    gpus: tuple[str, ...]
    workers: int

    def rendering(self, layers: int) -> float:
        """Return seconds for layers: 4.8 core seconds each beside a GPU, else 20."""
        return 15 + (20 if self.gpus == ("",) else 4.8) * layers / self.workers

    def composing(self, photos: int) -> float:
        """Return seconds for photos, 3 core seconds each while the GPUs render."""
        return 8 + 3 * photos / self.workers

    def looking(self, photos: int) -> float:
        """Return seconds for photos that the networks look at, 1 core second each."""
        return 8 + photos / self.workers

    def fitting(self, fit: FitRecipe) -> float:
        """Return seconds of a fit: a recorded step takes 26 ms."""
        return 25 + (60 * fit.minutes if fit.minutes is not None else 0.026 * (fit.steps or 0))
