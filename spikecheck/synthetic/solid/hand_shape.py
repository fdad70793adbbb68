"""A hand, bare or gloved, at the spike."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.solid.fingers import locate
from spikecheck.synthetic.solid.hand_mesh import displaced, hand_mesh
from spikecheck.synthetic.solid.hand_pose import pose_fingers
from spikecheck.synthetic.solid.hand_skin import bare, gloved
from spikecheck.synthetic.solid.part import Material, Part

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats

_BOX_MM = 44.0  # to either side of the axis and in depth: a little more than the picture shows


def draw_hand(
    axis: Floats, rng: np.random.Generator, *, organ: int, pose: str, in_glove: bool
) -> Part | None:
    """Draw a hand; None if it stays out of the picture.

    Parameters
    ----------
    axis
        The spike's axis from base to tip in the world, (M, 3), mm.
    rng
        Where the chances come from.
    organ
        Index of the hand.
    pose
        One of :data:`~spikecheck.synthetic.solid.hand_pose.POSES`.
    in_glove
        Whether it wears a glove.
    """
    fingers = pose_fingers(pose, axis[0], axis[-1], rng)
    low = np.array([-_BOX_MM, -30, axis[0, 2] - 48], np.float32)
    high = np.array([_BOX_MM, 40, axis[-1, 2] + 30], np.float32)
    tips = np.stack([finger.joints[0] for finger in fingers])
    low[2] = max(low[2], float(tips[:, 2].min()) - 42)
    high[2] = min(high[2], float(tips[:, 2].max()) + 42)
    vertices, faces = hand_mesh(fingers, low, high)
    if not len(faces):
        return None
    where = locate(fingers, vertices)
    skin = (gloved if in_glove else bare)(vertices, where, fingers, rng)
    return Part(
        name="hand",
        vertices=displaced(vertices, faces, skin.height_mm),
        faces=faces,
        colours=skin.colours,
        material=Material.GLOVE if in_glove else Material.SKIN,
        organ=organ,
    )
