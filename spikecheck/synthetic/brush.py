"""What every drawing function needs: where to draw, at what scale, with what chance and look."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np

    from spikecheck.synthetic.canvas import Canvas
    from spikecheck.synthetic.genotype import Genotype


@dataclass(frozen=True, slots=True, eq=False)
class Brush:
    """Canvas, random stream, line and scale.

    Parameters
    ----------
    canvas
        Where to draw.
    rng
        Random stream.
    genotype
        The plant's line.
    px_per_mm
        Scale.
    """

    canvas: Canvas
    rng: np.random.Generator
    genotype: Genotype
    px_per_mm: float
