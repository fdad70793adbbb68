"""The light that falls on everything around the spike, by the layer's light family."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.compose.picture import Shade

Rng = np.random.Generator

LIGHTS = ("overcast", "sun", "led", "warm", "shade")

# Tint of each light as linear RGB over green, its spread, and how soft its shadows are, mm for
# each mm of height. Layers come balanced for their light, so this is the cast that a phone's
# balance leaves (own choice: a little warm under bulbs and sun, a little cold in the shade).
_LOOKS: dict[str, tuple[tuple[float, float, float], float, float]] = {
    "overcast": ((0.99, 1.0, 1.01), 0.02, 0.9),
    "sun": ((1.02, 1.0, 0.97), 0.025, 0.05),
    "led": ((1.0, 1.0, 1.0), 0.03, 0.3),
    "warm": ((1.05, 1.0, 0.9), 0.035, 0.35),
    "shade": ((0.98, 1.0, 1.03), 0.025, 1.1),
}


@dataclass(frozen=True, slots=True)
class Ambience:
    """Light around the spike.

    Parameters
    ----------
    family
        Light family.
    tint
        Linear RGB over green.
    level
        Light that a white surface sends back where the spike's mean is 0.2.
    softness
        Softness of a shadow, mm for each mm of height.
    fall
        Where shadows fall: (right, down), mm for each mm of height.
    """

    family: str
    tint: tuple[float, float, float]
    level: float
    softness: float
    fall: tuple[float, float]

    def on(self, albedo: Floats) -> Floats:
        """Return the light of a surface of a reflectance (H, W, 3)."""
        return np.asarray(
            albedo * (np.asarray(self.tint, np.float32) * np.float32(self.level)), np.float32
        )

    def shadow(self, height_mm: float, strength: float) -> Shade:
        """Return the shadow of a thing at a height over what it falls on."""
        from spikecheck.synthetic.compose.picture import Shade

        return Shade(
            strength=strength * (1.0 if self.softness < 0.2 else 0.7),  # noqa: PLR2004
            dx_mm=self.fall[0] * height_mm, dy_mm=self.fall[1] * height_mm,
            soft_mm=0.08 + self.softness * height_mm * 0.5,
        )  # fmt: skip


def draw_ambience(rng: Rng, family: str | None) -> Ambience:
    """Return the light around a spike that was rendered in a light family; None draws one."""
    name = family if family in _LOOKS else str(rng.choice(LIGHTS))
    tint, spread, softness = _LOOKS[name]
    varied = np.asarray(tint) * np.exp(rng.normal(0, spread, 3))
    red, green, blue = (float(v) for v in varied / varied[1])
    return Ambience(
        family=name, tint=(red, green, blue), level=float(rng.uniform(0.75, 1.25)),
        softness=softness * float(rng.uniform(0.7, 1.4)),
        fall=(float(rng.normal(0, 0.55)), float(rng.uniform(0.1, 0.8))),
    )  # fmt: skip
