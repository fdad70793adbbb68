"""How large the picture is and where in it the spike stands."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from spikecheck.synthetic.axis import Axis
from spikecheck.synthetic.randomness import chance
from spikecheck.vocabulary import QualityProblem

_SMALL_PX_PER_MM = (6.0, 9.0)  # an anther 0.8 mm wide is then 5-7 px wide


@dataclass(frozen=True, slots=True)
class Layout:
    """The frame and the spike's place in it.

    Parameters
    ----------
    height, width
        Size of the picture, px.
    axis
        Line of the rachis.
    stem_mm
        Length of stem drawn below it, mm: as a rule it runs out of the frame.
    """

    height: int
    width: int
    axis: Axis
    stem_mm: float


def draw_layout(
    rng: np.random.Generator,
    length_mm: float,
    px_per_mm: float,
    problem: QualityProblem | None,
) -> Layout:
    """Return a layout at random for a spike of ``length_mm`` as it looks in the picture.

    Parameters
    ----------
    rng
        Random stream.
    length_mm
        Length of the spike, mm.
    px_per_mm
        Scale; of the picture as it would be taken from the right distance.
    problem
        What is wrong with the picture.
    """
    ppm, height_mm = px_per_mm, max(66.0, length_mm + float(rng.uniform(16, 30)))
    width_mm = height_mm * float(rng.uniform(0.5, 0.72))
    if problem is QualityProblem.TOO_SMALL:
        further = px_per_mm / float(rng.uniform(*_SMALL_PX_PER_MM))
        ppm, height_mm, width_mm = px_per_mm / further, height_mm * further, width_mm * further
    if problem is QualityProblem.SEVERAL_SPIKES:
        width_mm = max(width_mm, 46.0)
    tilt = float(np.clip(rng.normal(0, 0.15), -0.43, 0.43))
    curve = float(rng.normal(0, 0.0016))
    rise, run = length_mm * np.cos(tilt), length_mm * np.sin(tilt + curve * length_mm / 2)
    down, right = float(rng.normal(0, 1.0)), float(rng.normal(0, 2.0))
    if problem is QualityProblem.CUT_OFF:
        # The tip or the base stands out by a tenth to a third of the spike's length.
        out = (height_mm - rise) / 2 + float(rng.uniform(0.12, 0.35)) * length_mm
        down = -out if chance(rng, 0.6) else out
    if problem is QualityProblem.SEVERAL_SPIKES:
        right = -float(rng.uniform(8, 11))
    return Layout(
        height=round(height_mm * ppm), width=round(width_mm * ppm),
        axis=Axis(
            row=float(height_mm / 2 + rise / 2 - 1.5 + down) * ppm,
            column=float(width_mm / 2 - run / 2 + right) * ppm,
            tilt=tilt, curve_per_mm=curve, length_mm=length_mm, px_per_mm=ppm,
        ),
        stem_mm=float(max(height_mm / 2, 60.0)),
    )  # fmt: skip


def neighbour(rng: np.random.Generator, layout: Layout) -> Axis:
    """Return the axis of a second spike beside the first."""
    axis = layout.axis
    aside = float(rng.uniform(17, 22)) * axis.px_per_mm
    return Axis(
        row=axis.row + float(rng.normal(0, 4)) * axis.px_per_mm,
        column=axis.column + aside,
        tilt=axis.tilt + float(rng.normal(0.03, 0.04)),
        curve_per_mm=float(rng.normal(0, 0.0015)),
        length_mm=axis.length_mm * float(rng.uniform(0.85, 1.1)),
        px_per_mm=axis.px_per_mm,
    )
