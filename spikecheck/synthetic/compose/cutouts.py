"""Pieces of rendered layers as stickers: a whole spike, or the hand, tool or tag in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.synthetic.compose.picture import Sticker
from spikecheck.synthetic.solid.part import OrganKind

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.solid.layers import Layers

_PROPS = frozenset({OrganKind.HAND, OrganKind.FORCEPS, OrganKind.TAG, OrganKind.FLAG_LEAF})
_BELOW_MM = 60.0
_LEAST_SHARE = 0.02  # of the layer: a smaller piece of a thing is no use


def spike_sticker(layers: Layers, coarse: int = 1) -> Sticker:
    """Return a whole layer as a sticker, at a fraction of its pixels."""
    below = round(_BELOW_MM * layers.record.px_per_mm)
    # The stem goes on below what was rendered.
    light = np.pad(layers.radiance.astype(np.float32), ((0, below), (0, 0), (0, 0)), "edge")
    alpha = np.pad(layers.alpha, ((0, below), (0, 0)), "edge").astype(np.float32)
    return _sticker(light, alpha, layers.record.px_per_mm, coarse)


def spike_anchor(layers: Layers) -> tuple[float, float]:
    """Return where in :func:`spike_sticker` the middle of the spike lies, as shares."""
    height, width = layers.alpha.shape
    below = round(_BELOW_MM * layers.record.px_per_mm)
    base, tip = layers.record.axis[0], layers.record.axis[-1]
    return (base.column + tip.column) / 2 / width, (base.row + tip.row) / 2 / (height + below)


def prop_sticker(layers: Layers) -> Sticker | None:
    """Return the hand, forceps, tag or leaf of a layer as a sticker; None when there is none."""
    things = np.zeros(65536, bool)
    for organ in layers.record.organs:
        things[organ.index] = organ.kind in _PROPS
    mask = things[layers.organ]
    if mask.mean() < _LEAST_SHARE:
        return None
    rows, columns = np.flatnonzero(mask.any(1)), np.flatnonzero(mask.any(0))
    piece = np.s_[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    share = cv2.GaussianBlur(mask[piece].astype(np.float32), (0, 0), 0.6)
    light = layers.radiance[piece].astype(np.float32) * share[..., None]
    alpha = layers.alpha[piece].astype(np.float32) * share
    # What the layer's border cuts goes on beyond it.
    reach = round(_BELOW_MM * layers.record.px_per_mm)
    touches = (rows[0] == 0, rows[-1] == mask.shape[0] - 1,
               columns[0] == 0, columns[-1] == mask.shape[1] - 1)  # fmt: skip
    top, bottom, left, right = (reach if touch else 0 for touch in touches)
    sides = ((top, bottom), (left, right))
    return _sticker(
        np.pad(light, (*sides, (0, 0)), "edge"), np.pad(alpha, sides, "edge"),
        layers.record.px_per_mm, 1,
    )  # fmt: skip


def _sticker(light: Floats, alpha: Floats, px_per_mm: float, coarse: int) -> Sticker:
    """Return a sticker of light and coverage (0..255), ``coarse`` times smaller."""
    both = np.dstack((light, alpha / np.float32(255)))
    if coarse > 1:
        size = (alpha.shape[1] // coarse, alpha.shape[0] // coarse)
        both = np.asarray(cv2.resize(both, size, interpolation=cv2.INTER_AREA), np.float32)
    return Sticker(both[..., :3], both[..., 3], px_per_mm / coarse)
