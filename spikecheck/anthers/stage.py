"""Stage of an anther by its colour: the nearest of the stages' own colours in CIEDE2000.

Anthers ripen from green over yellow-green to turgid yellow and, once open, to nearly white
(B1.12). Some genotypes have purple or red anthers, for which no colour rule holds (B1.13): what
is far from every stage's colour is taken for the ripest, which is the cautious reading.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.imaging.colour import colour_difference
from spikecheck.vocabulary import AntherStage

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.thresholds import AntherThresholds


def anther_stage(
    lab: NDArray[np.float64], *, thresholds: AntherThresholds
) -> tuple[AntherStage, bool]:
    """Return the stage and whether anthesis is near.

    Parameters
    ----------
    lab
        Mean CIELAB of the anther under neutral light, shape (3,).
    thresholds
        Colours of the stages, and the hue at which green turns to yellow-green.

    Returns
    -------
    stage, near_anthesis
        Yellow and dehisced anthers are near anthesis, and green ones that turn yellow-green.
    """
    t = thresholds
    colours = {
        AntherStage.GREEN: (t.green_l, t.green_a, t.green_b),
        AntherStage.YELLOW: (t.yellow_l, t.yellow_a, t.yellow_b),
        AntherStage.DEHISCED: (t.dehisced_l, t.dehisced_a, t.dehisced_b),
    }
    distances = {stage: float(colour_difference(lab, own)) for stage, own in colours.items()}
    stage = min(distances, key=lambda each: distances[each])
    if distances[stage] > t.unlike_any_stage:
        return AntherStage.DEHISCED, True
    hue = float(np.degrees(np.arctan2(lab[2], lab[1])) % 360)
    return stage, stage is not AntherStage.GREEN or hue < t.yellow_green_hue_deg
