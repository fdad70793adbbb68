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

from spikecheck.tag_reading.ideal import pieces
from spikecheck.tag_reading.placing import fit_homography, mapped
from spikecheck.vocabulary import Scale, ScaleSource
from spikecheck.vocabulary.tag_layout import HOLE_CENTRE_MM, QR

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.tag_reading.placing import Placing
    from spikecheck.thresholds import TagThresholds

_SIDES = 2.0  # standard errors on either side of the scale: 95 % of a normal distribution
_FOLDS = 8
_FREE = 8  # elements of a homography
_REACH_MM = 30.0  # brings places on the tag near 1, as numbers that are squared should be
_STEP = 1e-5  # of an element: between rounding and bend
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
        The bounds take in how far its value moves when pieces of the print are left out or lie
        off a plane, the printer's tolerance, and what is nearer or further at the tag's hole.

    Notes
    -----
    The standard error has two parts. One is the jackknife's (B. Efron, C. Stein (1981), Annals of
    Statistics 9:586-596) over groups of neighbouring pieces, from left to right: what only one end
    of the print holds up moves when that end is left out. The other is how far the pieces lie from
    where one plane would have them, carried over to the scale: where a fold or a tilt is taken for
    the other, every group agrees on what is wrong.

    A fold may part the print so that what lies beyond it does not agree and is left out; what is
    left then fits, and neither part of the error sees it. So less than nearly the whole print gives
    a scale only where it fits as flat paper does.
    """
    principal = (np.array(shape[::-1], np.float64) - 1) / 2
    best, at_hole = (
        _px_per_mm(placing.homography, place, principal) for place in (_SYMBOL, HOLE_CENTRE_MM)
    )
    left_out = _left_out_error(placing, principal)
    if left_out is None:
        return None
    scatter = scatter_mm(placing)
    whole = len(placing.on_tag) >= thresholds.whole_share * len(pieces())
    if not whole and scatter > thresholds.part_scatter_most_mm:
        return None
    alike = thresholds.scatter_alike * scatter * _moved_by_scatter(placing, principal) * best
    error = float(np.hypot(left_out, alike))
    if not error / best <= thresholds.scale_error_most:
        return None
    off = _SIDES * error + thresholds.print_tolerance * best
    return Scale(best, ScaleSource.TAG, min(best, at_hole) - off, max(best, at_hole) + off)


def scatter_mm(placing: Placing) -> float:
    """Return how far pieces lie from where the homography has them, root mean square, mm."""
    off = mapped(_inverse(placing.homography), placing.in_picture) - placing.on_tag
    return float(np.sqrt((off**2).sum() / (off.size - _FREE)))


def _inverse(homography: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(np.linalg.inv(homography), np.float64)


def _px_per_mm(
    homography: NDArray[np.float64], place: tuple[float, float], principal: NDArray[np.float64]
) -> float:
    """Return the larger singular value about ``place`` (mm) and the principal point (px)."""
    to_place = np.array([[1, 0, place[0]], [0, 1, place[1]], [0, 0, 1]])
    from_principal = np.array([[1, 0, -principal[0]], [0, 1, -principal[1]], [0, 0, 1]])
    about = from_principal @ homography @ to_place
    return float(np.linalg.svd(about[:2, :2] / about[2, 2], compute_uv=False)[0])


def _moved_by_scatter(placing: Placing, principal: NDArray[np.float64]) -> float:
    """Return the relative error of the scale when each piece is off by 1 mm, independently.

    Propagation of errors to first order: about the fitted homography H, H (I + E) moves a point of
    the tag by a linear function of the eight free elements of E, whose covariance follows from
    where the pieces are, and the scale moves along its gradient by them.
    """
    x, y = ((placing.on_tag - _SYMBOL) / _REACH_MM).T
    one, none = np.ones_like(x), np.zeros_like(x)
    moved = np.concatenate([
        np.column_stack([x, y, one, none, none, none, -x * x, -x * y]),
        np.column_stack([none, none, none, x, y, one, -x * y, -y * y]),
    ]) * _REACH_MM  # fmt: skip
    centred = np.array([[1, 0, -_SYMBOL[0]], [0, 1, -_SYMBOL[1]], [0, 0, _REACH_MM]]) / _REACH_MM
    back = _inverse(centred)

    def logarithm(step: NDArray[np.float64]) -> float:
        changed = placing.homography @ back @ (np.eye(3) + step) @ centred
        return float(np.log(_px_per_mm(changed, _SYMBOL, principal)))

    steps = np.eye(9)[:_FREE].reshape(_FREE, 3, 3) * _STEP
    gradient = np.array([(logarithm(one) - logarithm(-one)) / (2 * _STEP) for one in steps])
    return float(np.linalg.norm(gradient @ np.linalg.pinv(moved)))


def _left_out_error(placing: Placing, principal: NDArray[np.float64]) -> float | None:
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
