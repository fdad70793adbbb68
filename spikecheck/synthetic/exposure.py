"""Automatic exposure, as a phone does it when it is aimed at the spike."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
# Linear luminance a phone aims at, weighing the subject more than the frame; 0.2 is sRGB 124.
_AIM = 0.21
_SUBJECT_WEIGHT = 0.65


def metered(scene: Floats, alpha: Floats) -> float:
    """Return the factor that brings the scene to a middle brightness.

    Parameters
    ----------
    scene
        float32 array of shape (H, W, 3): linear RGB.
    alpha
        float32 array of shape (H, W): where the spike is, 0..1.
    """
    luma = scene[::8, ::8].mean(2)
    weight = alpha[::8, ::8]
    frame = float(luma.mean())
    subject = float((luma * weight).sum() / weight.sum()) if weight.sum() > 0 else frame
    level = _SUBJECT_WEIGHT * subject + (1 - _SUBJECT_WEIGHT) * frame
    return float(np.clip(_AIM / max(level, 1e-3), 0.4, 4.0))
