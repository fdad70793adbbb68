"""How a hand comes into the picture: it pinches the stem, steadies the spike or lies beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.solid.fingers import Finger

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats

POSES = ("pinch", "behind", "beside", "tip")
# Adult fingers: 14-20 mm thick, thumbs 18-23 mm; phalanges 24, 26 and 42 mm (common practice).
_FINGER_RADIUS_MM = (6.6, 8.6)
_PHALANGES_MM = (18.0, 25.0, 42.0, 40.0)


def pose_fingers(
    pose: str, base: Floats, tip: Floats, rng: np.random.Generator
) -> tuple[Finger, ...]:
    """Return fingers about a spike.

    Parameters
    ----------
    pose
        One of :data:`POSES`.
    base, tip
        Ends of the spike's axis in the world, (3,), mm.
    rng
        Where the chances come from.
    """
    side = float(rng.choice([-1, 1]))
    size = float(rng.uniform(*_FINGER_RADIUS_MM))
    if pose == "pinch":
        held = base + np.array([0, 0, -rng.uniform(12, 24)])
        return _pinching(held, side, size, rng)
    if pose == "tip":
        held = tip + np.array([0, 0, rng.uniform(2, 7)])
        return _pinching(held, side, size, rng, upwards=1.0)
    if pose == "behind":
        return _behind(base, tip, side, size, rng)
    return _beside(base, tip, side, size, rng)


def _pinching(
    held: Floats, side: float, size: float, rng: np.random.Generator, upwards: float = 0.0
) -> tuple[Finger, ...]:
    """Thumb in front of the stem, forefinger behind it, the other fingers curled below."""
    thumb = size * rng.uniform(1.08, 1.2)
    rise = upwards * rng.uniform(0.3, 0.9) - (1 - upwards) * rng.uniform(-0.2, 0.8)
    lean = rng.uniform(0.0, 0.5)
    over = rng.uniform(2, 8)
    front = held + np.array([-side * over, -thumb * 0.93 - 0.6, rise * -over * 0.5])
    fingers = [
        _finger(
            front, (side, -0.05 + 0.5 * lean, rise), (0, 0.35, -0.2), thumb, (0, -1, 0.15), rng=rng
        )
    ]
    behind = held + np.array(
        [-side * (over + rng.uniform(-2, 5)), size * 0.93 + 0.8, rng.normal(0, 2)]
    )
    curl = (0, -0.25, -0.25)
    fingers.append(
        _finger(behind, (side, 0.35, rise + 0.1), curl, size, (-0.2 * side, 1, 0.3), rng=rng)
    )
    for k in range(1, int(rng.integers(1, 4))):
        down = np.array([side * rng.uniform(0, 5), 2.0 + k, -k * size * 1.95])
        fingers.append(
            _finger(
                behind + down,
                (side, 0.3, rise + 0.1),
                curl,
                size * 0.97,
                (-0.2 * side, 1, 0),
                rng=rng,
            )
        )
    return tuple(fingers)


def _behind(
    base: Floats, tip: Floats, side: float, size: float, rng: np.random.Generator
) -> tuple[Finger, ...]:
    """One to three fingers across, behind the spike, which rests on them."""
    share = rng.uniform(0.1, 0.75)
    place = base * (1 - share) + tip * share
    fingers = []
    for k in range(int(rng.integers(1, 4))):
        at = place + np.array(
            [-side * rng.uniform(4, 14), size + rng.uniform(5.5, 8), -k * size * 2.0]
        )
        slope = rng.uniform(-0.25, 0.35)
        fingers.append(
            _finger(at, (side, 0.12, slope), (0, 0.1, -0.15), size, (0, 1, 0.2), rng=rng)
        )
    return tuple(fingers)


def _beside(
    base: Floats, tip: Floats, side: float, size: float, rng: np.random.Generator
) -> tuple[Finger, ...]:
    """Fingers that reach in from the side and end beside the spike."""
    share = rng.uniform(-0.1, 0.9)
    place = base * (1 - share) + tip * share
    fingers = []
    for k in range(int(rng.integers(1, 3))):
        gap = rng.uniform(5.5, 9) + size
        at = place + np.array([side * gap, rng.uniform(-6, 6), -k * size * 2.05])
        fingers.append(
            _finger(
                at,
                (side, rng.uniform(-0.3, 0.5), rng.uniform(-0.6, 0.3)),
                (0, 0.1, -0.2),
                size,
                (0, rng.choice([-1.0, 1.0]), 0.3),
                rng=rng,
            )
        )
    return tuple(fingers)


def _finger(
    tip: Floats,
    towards: tuple[float, float, float],
    bend: tuple[float, float, float],
    radius: float,
    back: tuple[float, float, float],
    *,
    rng: np.random.Generator,
) -> Finger:
    """Return a finger from its tip along a direction that bends a little at each joint."""
    joints = [np.asarray(tip, np.float32)]
    way = np.asarray(towards, np.float64) + rng.normal(0, 0.06, 3)
    for length in _PHALANGES_MM:
        way = way / np.linalg.norm(way)
        joints.append((joints[-1] + way * length * radius / 7.6).astype(np.float32))
        way = way + np.asarray(bend) * rng.uniform(0.6, 1.4)
    swell = np.array([0.9, 1.03, 1.12, 1.3, 1.6]) * (1 + rng.normal(0, 0.02, 5))
    outward = np.asarray(back, np.float64)
    return Finger(
        np.stack(joints), (radius * swell).astype(np.float32),
        (outward / np.linalg.norm(outward)).astype(np.float32),
    )  # fmt: skip
