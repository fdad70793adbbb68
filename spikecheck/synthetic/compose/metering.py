"""How a phone exposes a scene before it adds its own errors."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.vocabulary import QualityProblem

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.compose.phone import Phone
    from spikecheck.synthetic.compose.picture import Picture

_AIM = 0.23  # linear light of a middle grey in the picture; sRGB 132
_SUBJECT_WEIGHT = 0.7  # phones weigh what is tapped on, or in the middle, more than the rest
_CEILING = 0.8  # linear light that the curve leaves just below burnt out
_LEAST = 0.085  # linear light of the middling pixel of a spike that can be judged: L* 35
_BRIGHT_PERCENT = 97.0  # so much of the spike stays below it in a picture that can be judged


def exposed(
    picture: Picture,
    bare: NDArray[np.uint16],
    phone: Phone,
    fault: QualityProblem | None,
) -> Phone:
    """Return the phone as set for a scene: its exposure.

    Parameters
    ----------
    picture
        The scene.
    bare
        uint16 (H, W): not 0 where the subject is.
    phone
        The phone with its errors.
    fault
        What is wrong on purpose; only an overexposed picture may burn out, only a dark one be dark.
    """
    sample = picture.light[::6, ::6]
    subject = bare[::6, ::6] > 0
    luma = sample.mean(2)
    frame = float(luma.mean())
    level = frame
    if subject.any():
        level = _SUBJECT_WEIGHT * float(luma[subject].mean()) + (1 - _SUBJECT_WEIGHT) * frame
    exposure = phone.exposure * float(np.clip(_AIM / max(level, 1e-3), 0.35, 5.0))
    if fault is not QualityProblem.OVEREXPOSED and subject.any():
        exposure = min(exposure, _most(sample[subject], phone.gains))
    if fault is not QualityProblem.DARK and subject.any():
        exposure = max(exposure, _LEAST / max(float(np.median(luma[subject])), 1e-3))
    return replace(phone, exposure=exposure)


def _most(light: Floats, gains: tuple[float, ...]) -> float:
    """Return the exposure at which the bright parts of the spike reach the ceiling."""
    bright = float(np.percentile((light * np.asarray(gains, np.float32)).mean(1), _BRIGHT_PERCENT))
    return _CEILING / max(bright, 1e-3)
