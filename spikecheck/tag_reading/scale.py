"""How many pixels a millimetre takes at the tag, whichever way it is turned.

A tag that is tilted away is foreshortened: it shrinks across the axis of the tilt only. What is
wanted is the scale of the spike beside it, that is of a length at the same distance from the camera
that is not foreshortened. One end of a tilted tag is nearer than the other, so the scale is told at
the middle of the QR symbol, the end by which the tag hangs, and its bounds take in the hole.

With a pinhole camera of focal length f (px), the symbol's middle at (X, Y, Z) before the camera and
the tag turned by the rotation R, the homography from the tag to the photo, written about that
middle and about the principal point, is, but for a factor,

    [f r11, f r12, f X]
    [f r21, f r22, f Y]
    [  r31,   r32,   Z].

Divided by its last element, the upper left 2 x 2 part is f/Z times the upper left part of a
rotation. That has the singular values 1 and cos(tilt): the larger singular value is f/Z, the scale,
and the smaller one the foreshortened scale. f itself need not be known. The principal point is
taken to be the middle of the photo; about the tag's own place instead, that part would be the
homography's Jacobian there, which is the same in the middle of the photo and stretches towards its
edge, by up to tan(tilt) times tan(angle off the middle).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.tag_reading.placing import fit_homography
from spikecheck.vocabulary import Scale, ScaleSource
from spikecheck.vocabulary.tag_layout import HOLE_CENTRE_MM, QR

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.tag_reading.placing import Placing
    from spikecheck.thresholds import TagThresholds

_SIDES = 2.0  # standard errors on either side of the scale: 95 % of a normal distribution
_FOLDS = 8
_SYMBOL = ((QR.left + QR.right) / 2, (QR.top + QR.bottom) / 2)


def scale_of(
    placing: Placing, shape: tuple[int, int], *, thresholds: TagThresholds
) -> Scale | None:
    """Return the scale at the symbol of a tag, or None where it is too uncertain.

    Parameters
    ----------
    placing
        Where the tag's print lies.
    shape
        Rows and columns of the photo, px.
    thresholds
        How exactly a tag is printed, and how uncertain a scale may be.

    Returns
    -------
    Scale or None
        The bounds take in how far its value moves when pieces of the print are left out, the
        printer's tolerance, and what is nearer or further at the tag's hole.

    Notes
    -----
    The standard error is the jackknife's (B. Efron, C. Stein (1981), Annals of Statistics
    9:586-596) over groups of neighbouring pieces, from left to right: a fold moves neighbours
    alike, and what only one end of the print holds up moves when that end is left out.
    """
    principal = (np.array(shape[::-1], np.float64) - 1) / 2
    best, at_hole = (
        _px_per_mm(placing.homography, place, principal) for place in (_SYMBOL, HOLE_CENTRE_MM)
    )
    error = _standard_error(placing, principal)
    if error is None or not error / best <= thresholds.scale_error_most:
        return None
    off = _SIDES * error + thresholds.print_tolerance * best
    return Scale(best, ScaleSource.TAG, min(best, at_hole) - off, max(best, at_hole) + off)


def _px_per_mm(
    homography: NDArray[np.float64], place: tuple[float, float], principal: NDArray[np.float64]
) -> float:
    """Return the larger singular value about ``place`` (mm) and the principal point (px)."""
    to_place = np.array([[1, 0, place[0]], [0, 1, place[1]], [0, 0, 1]])
    from_principal = np.array([[1, 0, -principal[0]], [0, 1, -principal[1]], [0, 0, 1]])
    about = from_principal @ homography @ to_place
    return float(np.linalg.svd(about[:2, :2] / about[2, 2], compute_uv=False)[0])


def _standard_error(placing: Placing, principal: NDArray[np.float64]) -> float | None:
    count = len(placing.on_tag)
    along = np.lexsort((placing.on_tag[:, 1], np.round(placing.on_tag[:, 0], 3)))
    folds = min(_FOLDS, count)
    values = []
    for fold in range(folds):
        kept = along[np.arange(count) * folds // count != fold]
        homography = fit_homography(placing.on_tag[kept], placing.in_picture[kept])
        if homography is None:
            return None
        values.append(_px_per_mm(homography, _SYMBOL, principal))
    away = np.array(values) - np.mean(values)
    return float(np.sqrt((folds - 1) / folds * (away**2).sum()))
