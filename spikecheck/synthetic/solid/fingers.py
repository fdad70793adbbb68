"""Fingers as chains of tapering rods, and how far a point is from them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.synthetic.arrays import Codes, Floats

_BLEND_MM = 2.5  # over which rods that meet run into one another


@dataclass(frozen=True, slots=True, eq=False)
class Finger:
    """A finger.

    Parameters
    ----------
    joints
        Shape (N, 3), mm, from the middle of its tip's rounding to the hand.
    radii
        Shape (N,), mm.
    back
        Shape (3,): where the back of its tip, with the nail, looks.
    """

    joints: Floats
    radii: Floats
    back: Floats


@dataclass(frozen=True, slots=True, eq=False)
class OnFinger:
    """Where points lie on fingers; arrays of shape (N,).

    Parameters
    ----------
    finger
        Number of the nearest finger.
    along
        From the middle of its tip towards the hand, mm; negative beyond it.
    around
        Angle from its back, radians, -pi..pi.
    """

    finger: Codes
    along: Floats
    around: Floats


def distance(fingers: Sequence[Finger], points: Floats) -> Floats:
    """Return the signed distance of points, (N, 3), to the skin, (N,), mm; negative inside."""
    total: Floats | None = None
    for finger in fingers:
        for k in range(len(finger.joints) - 1):
            near, _ = _rod(finger, k, points)
            total = near if total is None else _blended(total, near)
    if total is None:
        return np.full(len(points), np.inf, np.float32)
    return total


def locate(fingers: Sequence[Finger], points: Floats) -> OnFinger:
    """Return where points lie on the fingers."""
    count = len(points)
    best = np.full(count, np.inf, np.float32)
    which, along = np.zeros(count, np.int32), np.zeros(count, np.float32)
    around = np.zeros(count, np.float32)
    for number, finger in enumerate(fingers):
        start = 0.0
        for k in range(len(finger.joints) - 1):
            near, share = _rod(finger, k, points)
            length = float(np.linalg.norm(finger.joints[k + 1] - finger.joints[k]))
            closer = near < best
            best[closer], which[closer] = near[closer], number
            axis = (finger.joints[k + 1] - finger.joints[k]) / length
            beyond = np.minimum((points - finger.joints[k]) @ axis, 0) if k == 0 else 0.0
            along[closer] = (start + share * length + beyond)[closer]
            around[closer] = _angle(points, finger.joints[k], axis, finger.back)[closer]
            start += length
    return OnFinger(which, along, around)


def _rod(finger: Finger, k: int, points: Floats) -> tuple[Floats, Floats]:
    """Return the distance to a rod and the share of its length, 0..1, of the nearest place."""
    a, b = finger.joints[k], finger.joints[k + 1]
    d = b - a
    share = np.clip(((points - a) @ d) / float(d @ d), 0, 1)
    radius = finger.radii[k] * (1 - share) + finger.radii[k + 1] * share
    away = points - a - share[:, None] * d
    return (np.sqrt((away * away).sum(axis=1)) - radius).astype(np.float32), share


def _angle(points: Floats, origin: Floats, axis: Floats, back: Floats) -> Floats:
    out = back - (back @ axis) * axis
    out = out / max(float(np.linalg.norm(out)), 1e-6)
    side = np.cross(axis, out)
    local = points - origin
    return np.asarray(np.arctan2(local @ side, local @ out), np.float32)


def _blended(a: Floats, b: Floats) -> Floats:
    """Return the smaller of two distances, rounded where they are alike."""
    near = np.clip(_BLEND_MM - np.abs(a - b), 0, None) / _BLEND_MM
    return np.asarray(np.minimum(a, b) - near * near * (_BLEND_MM / 4), np.float32)
