"""Where green or straw-coloured plant tissue is, by colour under neutral light."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.imaging.colour import chroma, hue_degrees

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.thresholds import ColourThresholds


def plant_mask(lab: NDArray[np.float32], *, thresholds: ColourThresholds) -> NDArray[np.bool_]:
    """Mark plant tissue.

    Parameters
    ----------
    lab
        CIELAB under neutral light, float32 of shape (rows, columns, 3).
    thresholds
        Hue and chroma limits of plant tissue.

    Returns
    -------
    mask
        bool of shape (rows, columns).
    """
    hue = hue_degrees(lab)
    return np.asarray(
        (hue > thresholds.plant_hue_low_deg)
        & (hue < thresholds.plant_hue_high_deg)
        & (chroma(lab) > thresholds.plant_chroma_low)
    )
