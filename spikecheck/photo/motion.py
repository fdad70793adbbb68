"""Whether the picture was smeared by movement during the exposure.

Defocus blurs edges of every direction alike. A straight movement of length L along the direction
t adds the variance of a box to edges it crosses::

    v(a) = v0 + L^2 / 12 * cos^2(a - t)

for edges whose gradient points along a. Fitted over the gradient's directions by least squares,
the amplitude of the second harmonic gives L. The worst direction is taken from the coarsest scale
that resolves it, where the box looks most like the Gaussian that edges are measured by; the best
direction is the largest answer of all scales, as for focus. The spike is divided into three
lengths and the middling one decides: the hand moves the whole picture.

What misleads it: a spike moving in the wind while its base stands still smears the tip alone,
which shows as blur of the tip's tiles instead; a spike with edges of one direction only has no
answer. The length comes out between two thirds and four thirds of the true one.

References
----------
The variance of a box of length L is L^2 / 12; how blur of a movement depends on direction:
Y. Yitzhaky and N. S. Kopeika, "Identification of blur parameters from motion blurred images",
Graphical Models and Image Processing 59 (1997) 310-320 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.photo.edges import typical_variance_px2

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.photo.focus import EdgeScale
    from spikecheck.photo.patch import SpikePatch
    from spikecheck.thresholds import QualityThresholds

_SECTIONS = 3
_DIRECTIONS = 6
_LEAST_DIRECTIONS = 4
_BOX = 12


@dataclass(frozen=True, slots=True)
class Motion:
    """Directional blur of the spike.

    Parameters
    ----------
    smear_mm
        Length of the movement, mm at the spike.
    least_sigma_mm, most_sigma_mm
        Blur across and along the movement: alike for defocus.
    """

    smear_mm: float
    least_sigma_mm: float
    most_sigma_mm: float

    @property
    def ratio(self) -> float:
        """How many times more blurred the worst direction is than the best, at most 10."""
        return self.most_sigma_mm / max(self.least_sigma_mm, self.most_sigma_mm / 10, 1e-6)


def measure_motion(
    patch: SpikePatch, scales: tuple[EdgeScale, ...], *, thresholds: QualityThresholds
) -> Motion | None:
    """Measure directional blur.

    Returns
    -------
    Motion or None
        None when too few directions of edges are there.
    """
    pairs = patch.tile_count // 2
    extremes = []
    for section in range(_SECTIONS):
        answers = []
        for scale in scales:
            chosen = np.flatnonzero(scale.tiles // 2 * _SECTIONS // pairs == section)
            answer = _extreme_variances(scale, chosen, thresholds.least_edge_contrast)
            if answer is not None and answer[1] >= scale.least_resolved_px2:
                answers.append(answer)
        if answers:
            least_px2 = max(least for least, _ in answers)
            extremes.append((least_px2, max(least_px2, answers[-1][1])))
    if not extremes:
        return None
    extremes.sort(key=lambda pair: pair[1] - pair[0])
    least_px2, most_px2 = extremes[len(extremes) // 2]
    per_mm2 = patch.px_per_mm**2
    return Motion(
        smear_mm=float(np.sqrt(_BOX * (most_px2 - least_px2) / per_mm2)),
        least_sigma_mm=float(np.sqrt(least_px2 / per_mm2)),
        most_sigma_mm=float(np.sqrt(most_px2 / per_mm2)),
    )


def _extreme_variances(
    scale: EdgeScale, chosen: NDArray[np.intp], least_contrast: float
) -> tuple[float, float] | None:
    """Return the least and the largest blur variance over all directions, px^2."""
    turn = np.pi / _DIRECTIONS
    # np.mod keeps float32 angles just below pi from landing in a bin of their own.
    bins = np.mod((np.mod(scale.edges.angle[chosen], np.pi) / turn).astype(int), _DIRECTIONS)
    rows, variances, weights = [], [], []
    for number in range(_DIRECTIONS):
        same = chosen[bins == number]
        variance = typical_variance_px2(scale.edges, same, least_contrast=least_contrast)
        if np.isnan(variance):
            continue
        middle = (number + 0.5) * turn
        rows.append((1.0, np.cos(2 * middle), np.sin(2 * middle)))
        variances.append(variance)
        weights.append(np.sqrt(len(same)))
    if len(rows) < _LEAST_DIRECTIONS:
        return None
    weight = np.array(weights)
    mean, cosine, sine = np.linalg.lstsq(
        np.array(rows) * weight[:, np.newaxis], np.array(variances) * weight, rcond=None
    )[0]
    swing = np.hypot(cosine, sine)
    return max(float(mean - swing), 0.0), max(float(mean + swing), 0.0)
