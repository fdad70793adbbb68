"""The canvas: colour, cover and who owns each pixel, built up from back to front."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.frame import Patch
    from spikecheck.synthetic.light import Light

_OWNS = 0.5  # a pixel belongs to the organ that covers more than half of it


class Canvas:
    """Linear colour with cover, an owner for each pixel, and the anther that shows there.

    Parameters
    ----------
    height, width
        Size, px.
    light
        The light, for the shadows that organs cast on those behind them.

    Attributes
    ----------
    rgb
        float32 array of shape (H, W, 3): linear RGB, not multiplied by the cover.
    alpha
        float32 array of shape (H, W): cover, 0..1.
    owner
        int32 array of shape (H, W): part that shows, 0 where none was named.
    anther
        int32 array of shape (H, W): leftover anther that shows, 0 where none does.
    """

    def __init__(self, height: int, width: int, light: Light) -> None:
        self.rgb = np.zeros((height, width, 3), np.float32)
        self.alpha = np.zeros((height, width), np.float32)
        self.owner = np.zeros((height, width), np.int32)
        self.anther = np.zeros((height, width), np.int32)
        self.light = light

    def stamp(
        self,
        patch: Patch,
        alpha: Floats,
        rgb: Floats,
        *,
        owner: int | None = None,
        anther: int | None = None,
        shadow: float = 0.35,
        reach_mm: float = 0.45,
        decoration: bool = False,
    ) -> None:
        """Lay an organ over what is there.

        Parameters
        ----------
        patch
            Where.
        alpha
            float32 array of shape (H, W): cover, 0..1.
        rgb
            float32 array of shape (H, W, 3): linear RGB.
        owner
            Part the covered pixels belong to; None keeps no name (0).
        anther
            Leftover anther the covered pixels show.
        shadow
            How much it darkens what lies right behind it, 0..1.
        reach_mm
            How far its shadow falls, mm.
        decoration
            Whether it lies on an organ without changing what the pixel belongs to.
        """
        if shadow > 0:
            self._shade(patch, alpha, shadow, reach_mm)
        here, there = self._meeting(patch.top, patch.left, alpha.shape)
        if here is None:
            return
        a = alpha[there]
        self.rgb[here] += (rgb[there] - self.rgb[here]) * a[..., None]
        self.alpha[here] += (1 - self.alpha[here]) * a
        mine = a > _OWNS
        if anther is not None:
            self.anther[here][mine] = anther
        elif not decoration:
            self.anther[here][mine] = 0
            self.owner[here][mine] = owner or 0

    def _shade(self, patch: Patch, alpha: Floats, strength: float, reach_mm: float) -> None:
        """Darken what lies behind, shifted away from the light and smeared."""
        ppm = patch.px_per_mm
        sigma = max(0.4, reach_mm * 0.45 * ppm)
        pad = int(np.ceil(sigma * 2.5 + reach_mm * ppm))
        lx, ly, _ = self.light.direction
        dx, dy = round(-lx * reach_mm * ppm), round(-ly * reach_mm * ppm)
        wide = cv2.copyMakeBorder(alpha, pad, pad, pad, pad, cv2.BORDER_CONSTANT, value=0)
        soft = cv2.GaussianBlur(wide, (0, 0), sigma)
        here, there = self._meeting(patch.top - pad + dy, patch.left - pad + dx, soft.shape)
        if here is not None:
            self.rgb[here] *= (1 - strength * soft[there])[..., None]

    def _meeting(
        self, top: int, left: int, shape: tuple[int, ...]
    ) -> tuple[tuple[slice, slice] | None, tuple[slice, slice]]:
        """Return the part of the canvas, and of the patch, where both overlap."""
        height, width = self.alpha.shape
        r0, r1 = max(top, 0), min(top + shape[0], height)
        c0, c1 = max(left, 0), min(left + shape[1], width)
        nothing = (slice(0, 0), slice(0, 0))
        if r0 >= r1 or c0 >= c1:
            return None, nothing
        return (slice(r0, r1), slice(c0, c1)), (
            slice(r0 - top, r1 - top), slice(c0 - left, c1 - left),
        )  # fmt: skip
