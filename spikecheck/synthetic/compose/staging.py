"""Puts a scene together: background, shadow, spike, things over it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.synthetic.compose import paint
from spikecheck.synthetic.compose.classes import OVER
from spikecheck.synthetic.compose.cutouts import spike_anchor, spike_sticker
from spikecheck.synthetic.compose.focus import Focus, blur_by_depth
from spikecheck.synthetic.compose.lookalikes import strew_lookalikes
from spikecheck.synthetic.compose.occluders import lay_beside, lay_over
from spikecheck.synthetic.compose.picture import Picture, Spot, stick
from spikecheck.synthetic.randomness import chance
from spikecheck.vocabulary import QualityProblem

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.compose.laid import Laid
    from spikecheck.synthetic.compose.phone import Phone
    from spikecheck.synthetic.compose.stage import Stage

    Streams = Callable[[str], np.random.Generator]

# Blur on the spike itself, standard deviation in mm, that nine tenths of it stay below (threshold
# largest_blur_mm, 0.11 mm): the lens's own blur comes on top.
_SHARP_MM = 0.07
_OTHERS_SHARE = 0.35  # of fields and glasshouses with other rendered spikes far behind
_LOOKALIKE_SHARE = 0.2
_FEW, _MANY = (1, 4), (8, 25)  # look-alikes, from and below
_BESIDE_SHARE = 0.16
_FAR = frozenset({"field", "glasshouse"})


def staged(rng: Streams, stage: Stage, phone: Phone, fault: QualityProblem | None) -> Picture:
    """Return the scene as light and owners; ``stage.laid`` and ``stage.backdrop`` are used up.

    Parameters
    ----------
    rng
        Gives the random stream of a named part.
    stage
        What it is put together from.
    phone
        For the depth of field.
    fault
        What is wrong on purpose.
    """
    laid, ppm = stage.laid, stage.px_per_mm
    behind = rng("behind")
    focus = _focus(behind, laid, phone)
    light = stage.backdrop.light
    picture = Picture(light, np.zeros(laid.owner.shape, np.uint16), ppm)
    if stage.background in _FAR and chance(behind, _OTHERS_SHARE):
        _others_behind(behind, picture, stage)
    distance = stage.backdrop.behind_mm
    if distance is not None:
        picture.light = paint.blurred(light, min(float(focus.blur_mm(-distance)) * ppm, 12.0))
    if fault is QualityProblem.SEVERAL_SPIKES:
        _second_spike(rng("second"), picture, stage, distance)
    if distance is not None:
        _cast_shadow(picture.light, laid.alpha, stage, distance)
    blur_by_depth(laid, focus, ppm)
    picture.light *= (1 - laid.alpha)[..., None]
    picture.light += laid.light * _relit(behind)
    own = laid.owner > 0
    picture.owner[own] = laid.owner[own]
    things = rng("things")
    if not stage.strewn:
        return picture
    if chance(things, _LOOKALIKE_SHARE) or stage.littered:
        between = _MANY if stage.littered else _FEW
        strew_lookalikes(rng("lookalikes"), picture, stage.ambience, between=between)
    if fault is QualityProblem.OCCLUDED:
        lay_over(rng("over"), picture, stage)
    elif chance(things, _BESIDE_SHARE):
        lay_beside(rng("beside"), picture, stage)
    return picture


def _focus(rng: np.random.Generator, laid: Laid, phone: Phone) -> Focus:
    """Return a focus on the spike's front, not so shallow that the spike itself is blurred."""
    depth = laid.depth_mm[::5, ::5][laid.owner[::5, ::5] > 0]
    if depth.size == 0:
        return Focus(0.0, 0.0, 0.0)
    at = float(np.percentile(depth, rng.uniform(50, 90)))
    reach = float(np.percentile(np.abs(depth - at), 90))
    return Focus(at, min(phone.blur_per_mm, _SHARP_MM / max(reach, 0.5)), 0.8)


def _relit(rng: np.random.Generator) -> Floats:
    """Return gains that make the light on the spike differ a little from that around it."""
    return np.exp(rng.normal(0, (0.05, 0.03, 0.06))).astype(np.float32) * np.float32(
        np.exp(rng.normal(0, 0.16))
    )


def _cast_shadow(light: Floats, alpha: Floats, stage: Stage, distance_mm: float) -> None:
    """Darken the background where the spike keeps the light away."""
    shrink = 4
    height, width = alpha.shape
    small = cv2.resize(alpha, (width // shrink, height // shrink), interpolation=cv2.INTER_AREA)
    shade = stage.ambience.shadow(distance_mm, 0.75)
    per_mm = stage.px_per_mm / shrink
    move = np.array([[1, 0, shade.dx_mm * per_mm], [0, 1, shade.dy_mm * per_mm]], np.float64)
    soft = cv2.warpAffine(small, move, small.shape[::-1])
    soft = cv2.GaussianBlur(soft, (0, 0), max(0.6, shade.soft_mm * per_mm))
    # Right under the spike even soft light is kept away.
    contact = cv2.GaussianBlur(small, (0, 0), max(0.8, 0.4 * distance_mm * per_mm))
    near = 0.45 * float(np.exp(-distance_mm / 12))
    dark = 1 - (1 - shade.strength * soft) * (1 - near * contact)
    light *= 1 - cv2.resize(dark, (width, height), interpolation=cv2.INTER_LINEAR)[..., None]


def _others_behind(rng: np.random.Generator, picture: Picture, stage: Stage) -> None:
    """Paste other spikes far out of focus; they count as background."""
    height, width = picture.shape
    layers = stage.layers[1] if len(stage.layers) > 1 else stage.layers[0]
    other = spike_sticker(layers, coarse=3)
    for _ in range(int(rng.integers(1, 4))):
        shrunk = float(rng.uniform(0.35, 0.8))
        spot = Spot(
            at=(float(rng.uniform(0, width)), float(rng.uniform(0.1, 0.9) * height)),
            angle=float(rng.normal(0, 0.4)), anchor=spike_anchor(layers), flipped=chance(rng, 0.5),
        )  # fmt: skip
        scaled = type(other)(other.light, other.alpha, other.px_per_mm / shrunk)
        stick(picture, scaled, spot, None, blur_px=float(rng.uniform(0.6, 2.0)) * picture.px_per_mm)


def _second_spike(
    rng: np.random.Generator, picture: Picture, stage: Stage, distance: float | None
) -> None:
    """Put a second spike beside the first, as sharp as it, in front of or behind nothing."""
    layers = stage.layers[1] if len(stage.layers) > 1 else stage.layers[0]
    other = spike_sticker(layers)
    record = stage.layers[0].record
    ends = stage.placement.moved(np.array([(p.column, p.row) for p in record.axis]))[[0, -1]]
    way = ends[1] - ends[0]
    angle = float(np.arctan2(way[0], -way[1]))
    across = np.array([-way[1], way[0]]) / np.hypot(*way)
    middle, frame = ends.mean(0), np.array(picture.shape[::-1])
    offset = float(rng.uniform(11, 20)) * picture.px_per_mm
    # On the side with more room.
    side = 1.0 if across @ (frame / 2 - middle) > 0 else -1.0
    at = middle + across * side * offset + way * float(rng.normal(0, 0.08))
    turned = Spot((float(at[0]), float(at[1])), angle + float(rng.normal(0, 0.12)),
                  spike_anchor(layers), flipped=chance(rng, 0.5))  # fmt: skip
    shade = None if distance is None else stage.ambience.shadow(distance, 0.6)
    blur = float(rng.uniform(0, 0.04)) * picture.px_per_mm
    stick(picture, other, turned, OVER, blur_px=blur, shade=shade)
