"""How blurred each edge in a picture is.

An edge blurred by a Gaussian of variance v has a gradient of 1 / sqrt(2 pi v) at its middle. Blur
the picture once more by a known variance r, and the gradients' ratio gives the unknown one::

    R^2 = (v + r) / v      and so      v = r / (R^2 - 1)

This needs no knowledge of the contrast, so brightness and exposure cancel. Here the picture is
smoothed a little first, against noise, and differentiated over two pixels, which averages over
a box of variance 1/3 px^2; both are taken off again. A picture made k times smaller by averaging
has in addition the variance of its boxes, (k^2 - 1) / 12.

What misleads it: a thin line seems up to 1.4 times sharper than an edge, and so does noise, which
is sharp by nature. Both make the answer too small; several scales are looked at and the largest
answer counts (:mod:`spikecheck.photo.focus`). The blur of a lens or of a movement has a flatter
top than a Gaussian and seems 1.3 to 1.5 times wider on a clean edge; since this grows with the
blur, no scale answers more than three of its own pixels, and more is left to coarser ones. An
edge sharper than 0.7 pixels of a scale is not resolved by it, and one that lies exactly along its
rows of pixels seems wider. Sharpening by the phone makes edges seem sharper, a soft shadow more
blurred than they are, which is why the strongest and most step-like edges of a place are asked.

References
----------
S. Zhuo and T. Sim, "Defocus map estimation from a single image", Pattern Recognition 44 (2011)
1852-1858, for the ratio (from memory; the formula follows from the first sentences above).
J. Immerkaer, "Fast noise variance estimation", Computer Vision and Image Understanding 64 (1996)
300-302, for the noise (from memory; the tests check it on noise of known size).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

SMOOTHING_PX = 0.8
REBLUR_PX = 1.5
LEAST_RESOLVED_PX = 0.7
_DIFFERENCE_VARIANCE_PX2 = 1 / 3
_LEAST_NOISE = 0.3  # rounding to 8 bits: 1 / sqrt(12)
_NOISE_BLOCK_PX = 16
_QUIET_BLOCKS = 0.2
_LEAST_SIGNAL_TO_NOISE = 5.0
_LARGEST_VARIANCE_PX2 = 10.0
_LEAST_EDGES = 12
_STRONGEST = 0.4
_MOST_STEP_LIKE = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Edges:
    """Places on edges, with the blur across each; all arrays have the same length.

    Parameters
    ----------
    rows, columns
        Place in the picture made smaller.
    variance_px2
        Variance of the blur, px^2 of the full-resolution photo; below zero where the edge is
        sharper than the method resolves.
    angle
        Direction of the gradient, across the edge, radians from the columns' direction.
    strength
        Gradient, steps of 255 a px.
    lopsidedness_px
        0 at the middle of a step between two areas, larger on a line.
    contrast
        Height of the step, as a share of the brightness at its middle.
    """

    rows: NDArray[np.intp]
    columns: NDArray[np.intp]
    variance_px2: NDArray[np.float32]
    angle: NDArray[np.float32]
    strength: NDArray[np.float32]
    lopsidedness_px: NDArray[np.float32]
    contrast: NDArray[np.float32]


def find_edges(grey: NDArray[np.uint8], mask: NDArray[np.bool_], *, shrink: int) -> Edges:
    """Measure the blur of every edge that stands out of the noise.

    Parameters
    ----------
    grey
        uint8 array of shape (rows, columns), made ``shrink`` times smaller than the photo by
        averaging.
    mask
        bool array of the same shape: where to look.
    shrink
        As above; 1 for the photo itself.
    """
    import cv2

    light = grey.astype(np.float32)
    smooth = np.asarray(cv2.GaussianBlur(light, (0, 0), SMOOTHING_PX), np.float32)
    blurred = np.asarray(cv2.GaussianBlur(smooth, (0, 0), REBLUR_PX), np.float32)
    down = np.asarray(cv2.Sobel(smooth, cv2.CV_32F, 0, 1, ksize=1, scale=0.5), np.float32)
    across = np.asarray(cv2.Sobel(smooth, cv2.CV_32F, 1, 0, ksize=1, scale=0.5), np.float32)
    strength = np.asarray(cv2.magnitude(down, across), np.float32)
    wanted = mask & (strength > _LEAST_SIGNAL_TO_NOISE * _gradient_noise(light, mask))
    wanted[[0, -1], :] = wanted[:, [0, -1]] = False
    crest = _crests(down, across, strength, np.flatnonzero(wanted))
    strong, crest_down, crest_across = (
        values.ravel()[crest] for values in (strength, down, across)
    )
    blurred_down, blurred_across = _gradient(blurred, crest)
    along = (crest_down * blurred_down + crest_across * blurred_across) / strong
    excess = np.square(strong / np.maximum(along, np.float32(1e-6))) - 1
    seen_variance = REBLUR_PX**2 / np.maximum(excess, REBLUR_PX**2 / _LARGEST_VARIANCE_PX2)
    variance = seen_variance - (_DIFFERENCE_VARIANCE_PX2 + SMOOTHING_PX**2)
    light_there = smooth.ravel()[crest]
    rows, columns = np.divmod(crest, grey.shape[1])
    return Edges(
        rows=rows,
        columns=columns,
        variance_px2=(variance * shrink**2 - (shrink**2 - 1) / 12).astype(np.float32),
        angle=np.arctan2(crest_down, crest_across),
        strength=strong,
        lopsidedness_px=np.abs(light_there - blurred.ravel()[crest]) / strong,
        contrast=strong * np.sqrt(2 * np.pi * seen_variance) / np.maximum(light_there, 1),
    )


def typical_variance_px2(edges: Edges, chosen: NDArray[np.intp], *, least_contrast: float) -> float:
    """Return the blur variance that some edges share, px^2 of the full-resolution photo.

    Parameters
    ----------
    edges
        All edges.
    chosen
        Indices of some of them.
    least_contrast
        Contrast that their middling one must have: in a picture blurred beyond recognition all
        that is left are the faint, sharp edges of noise and of the blocks of JPEG.

    Returns
    -------
    float
        Median over the most step-like half of the strongest two fifths; NaN where fewer than
        twelve were chosen or they are too faint.
    """
    if len(chosen) < _LEAST_EDGES:
        return np.nan
    strength = edges.strength[chosen]
    strong = chosen[strength >= np.quantile(strength, 1 - _STRONGEST)]
    lopsided = edges.lopsidedness_px[strong]
    steps = strong[lopsided <= np.quantile(lopsided, _MOST_STEP_LIKE)]
    if np.median(edges.contrast[steps]) < least_contrast:
        return np.nan
    return float(np.median(edges.variance_px2[steps]))


def _gradient(
    picture: NDArray[np.float32], places: NDArray[np.intp]
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Return the gradient down and across at flat indices off the picture's border."""
    flat, width = picture.ravel(), picture.shape[1]
    half = np.float32(0.5)
    down = (flat[places + width] - flat[places - width]) * half
    across = (flat[places + 1] - flat[places - 1]) * half
    return down, across


def _crests(
    down: NDArray[np.float32],
    across: NDArray[np.float32],
    strength: NDArray[np.float32],
    places: NDArray[np.intp],
) -> NDArray[np.intp]:
    """Return those of the flat indices where the gradient is largest along its own direction."""
    level = np.abs(across.ravel()[places]) >= np.abs(down.ravel()[places])
    step = np.where(level, 1, strength.shape[1])
    flat = strength.ravel()
    here = flat[places]
    return places[(here >= flat[places - step]) & (here > flat[places + step])]


def _gradient_noise(light: NDArray[np.float32], mask: NDArray[np.bool_]) -> float:
    """Return the standard deviation that noise alone gives the smoothed gradient.

    The noise is read off the quietest fifth of blocks on the spike, where structure adds least.
    """
    import cv2

    kernel = np.array([[1, -2, 1], [-2, 4, -2], [1, -2, 1]], np.float32)
    response = np.abs(cv2.filter2D(light, cv2.CV_32F, kernel))
    rows, columns = (max(1, size // _NOISE_BLOCK_PX) for size in light.shape)
    blocks = cv2.resize(response, (columns, rows), interpolation=cv2.INTER_AREA)
    covered = cv2.resize(mask.astype(np.float32), (columns, rows), interpolation=cv2.INTER_AREA)
    quiet = np.quantile(blocks[covered >= min(0.7, float(covered.max()))], _QUIET_BLOCKS)
    noise = max(float(np.sqrt(np.pi / 2) / 6 * quiet), _LEAST_NOISE)
    return noise / (float(np.sqrt(8 * np.pi)) * (SMOOTHING_PX**2 + _DIFFERENCE_VARIANCE_PX2))
