"""What a scene without a close spike is painted on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np

    from spikecheck.synthetic.arrays import Bytes


@dataclass(frozen=True, slots=True, eq=False)
class Canvas:
    """A picture to paint on.

    Parameters
    ----------
    rng
        Random stream.
    painted
        uint8 (H, W, 3): sRGB; painters change it.
    """

    rng: np.random.Generator
    painted: Bytes

    @property
    def height(self) -> int:
        """Rows."""
        return int(self.painted.shape[0])

    @property
    def width(self) -> int:
        """Columns."""
        return int(self.painted.shape[1])

    @property
    def unit(self) -> float:
        """A hundredth of the shorter side, px."""
        return min(self.height, self.width) / 100

    def spot(self, margin: float = 0.0) -> tuple[float, float]:
        """Return a random (x, y) in the picture, a share ``margin`` away from its border."""
        x = self.rng.uniform(margin, 1 - margin) * self.width
        y = self.rng.uniform(margin, 1 - margin) * self.height
        return float(x), float(y)
