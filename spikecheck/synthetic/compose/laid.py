"""A rendered layer laid into the frame of a photo: light, coverage, owners and depth."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.synthetic.compose.classes import BODY
from spikecheck.synthetic.compose.warping import warped, warped_codes
from spikecheck.synthetic.solid.part import OrganKind
from spikecheck.synthetic.texture import layered

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.compose.placing import Placement
    from spikecheck.synthetic.solid.layers import Layers

_DEPTH_ZERO = 30000  # code of the plane of the axis
_AWN_END_MM = 2.5  # so long are the ends of awns that the border would cut
_OWNED = 128  # of 255: a pixel has an owner where more than half of it is covered


@dataclass(slots=True, eq=False)
class Laid:
    """A layer in the photo's frame.

    Parameters
    ----------
    light
        float32 (H, W, 3): linear RGB, multiplied by the coverage.
    alpha
        float32 (H, W): coverage, 0..1.
    owner
        uint16 (H, W): organ that shows, 0 where none.
    depth_mm
        float32 (H, W): height towards the camera over the plane of the axis.
    """

    light: Floats
    alpha: Floats
    owner: NDArray[np.uint16]
    depth_mm: Floats


def lay(rng: np.random.Generator, layers: Layers, placement: Placement) -> Laid:
    """Lay a layer into the frame.

    What the layer's border cuts (stem, a hand) goes on straight beyond it, so that nothing ends
    in mid-air; awns, which would go on as level lines, end in a point before it.
    """
    matrix, shape = placement.matrix, placement.shape
    beyond = cv2.BORDER_REPLICATE

    def smooth(array: Floats) -> Floats:
        return warped(array, matrix, shape, stretch=placement.stretch, border=beyond)

    kept = _awns_ended(layers)
    light = smooth(layers.radiance.astype(np.float32) * kept[..., None])
    alpha = smooth(layers.alpha.astype(np.float32) * (kept / np.float32(255)))
    owner = warped_codes(np.where(kept > 0.5, _owners(layers), 0).astype(np.uint16),  # noqa: PLR2004
                         matrix, shape, beyond)  # fmt: skip
    # Depth in steps of 1/100 mm: as codes, so that no edge is smeared between near and far.
    steps = np.round(layers.depth_mm.astype(np.float32) * 100) + _DEPTH_ZERO
    codes = np.clip(steps, 0, 65535).astype(np.uint16)
    depth = (warped_codes(codes, matrix, shape, beyond).astype(np.float32) - _DEPTH_ZERO) / 100
    _roughen_beyond(rng, light, layers.alpha.shape, placement)
    return Laid(light, alpha, owner, depth.astype(np.float32))


def _owners(layers: Layers) -> NDArray[np.uint16]:
    return np.where(layers.alpha >= _OWNED, layers.organ, 0).astype(np.uint16)


def _awns_ended(layers: Layers) -> Floats:
    """Return what is left of each pixel, 0..1, when awns fade out towards the layer's border."""
    awns = np.zeros(65536, bool)
    for organ in layers.record.organs:
        awns[organ.index] = organ.kind is OrganKind.AWN
    height, width = layers.alpha.shape
    fade = np.float32(_AWN_END_MM * layers.record.px_per_mm)
    rows, columns = np.arange(height, dtype=np.float32), np.arange(width, dtype=np.float32)
    from_border = np.minimum(
        np.minimum(rows, height - 1 - rows)[:, None], np.minimum(columns, width - 1 - columns)[None]
    )
    left = np.clip(from_border / fade, 0, 1)
    # Their smooth edges belong to no organ: what lies within a pixel of an awn fades with it.
    near = cv2.dilate(awns[layers.organ].astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
    thin = near & (awns[layers.organ] | (layers.organ == 0))
    return np.asarray(np.where(thin, left, 1), np.float32)


def _roughen_beyond(
    rng: np.random.Generator, light: Floats, size: tuple[int, ...], placement: Placement
) -> None:
    """Make what goes on beyond the layer's border uneven, as real surfaces are."""
    height, width = placement.shape
    frame = np.ones(size, np.uint8)
    inside = cv2.warpAffine(
        frame, placement.matrix, (width, height), flags=cv2.INTER_NEAREST, borderValue=0
    )
    if inside.all():
        return
    noise = layered(rng, (height, width), 60 * placement.stretch, 3)
    noise[inside > 0] = 0
    light *= np.clip(1 + 0.16 * noise, 0.4, 1.6)[..., None]


def spike_points(layers: Layers) -> NDArray[np.float64]:
    """Return the corners (x, y) of the convex hull of the spike without stem and awns, px."""
    body = np.zeros(65536, bool)
    for organ in layers.record.organs:
        body[organ.index] = organ.kind in BODY
    mask = body[layers.organ]
    rows = np.flatnonzero(mask.any(1))
    first = mask.argmax(1)[rows]
    last = mask.shape[1] - 1 - mask[:, ::-1].argmax(1)[rows]
    points = np.concatenate((np.stack((first, rows), 1), np.stack((last, rows), 1)))
    axis = np.array([(p.column, p.row) for p in layers.record.axis])
    hull = cv2.convexHull(np.concatenate((points, axis)).astype(np.float32))[:, 0]
    return np.asarray(hull, np.float64)
