"""What every background gives, and what it is drawn from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np

    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.compose.ambience import Ambience


@dataclass(frozen=True, slots=True, eq=False)
class Site:
    """What a background is drawn from.

    Parameters
    ----------
    rng
        Random stream.
    shape
        Height and width, px.
    px_per_mm
        Scale at the spike.
    ambience
        The light.
    """

    rng: np.random.Generator
    shape: tuple[int, int]
    px_per_mm: float
    ambience: Ambience


@dataclass(slots=True, eq=False)
class Backdrop:
    """A background.

    Parameters
    ----------
    light
        float32 (H, W, 3): linear RGB.
    behind_mm
        How far behind the spike's axis it lies, mm, where the spike casts a shadow on it; None
        when it is far away.
    """

    light: Floats
    behind_mm: float | None
