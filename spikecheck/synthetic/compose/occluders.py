"""Lays fingers, leaves, forceps and tags over a spike, or beside it where they hide nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.compose import things
from spikecheck.synthetic.compose.classes import OVER
from spikecheck.synthetic.compose.cutouts import prop_sticker
from spikecheck.synthetic.compose.picture import Spot, stick
from spikecheck.synthetic.randomness import chance

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.compose.picture import Picture, Sticker
    from spikecheck.synthetic.compose.stage import Stage

Rng = np.random.Generator
_HIDDEN_SHARE = 0.1  # of the axis, at least, in a picture that counts as occluded
_ATTEMPTS = 6
_DRAWN = (things.finger, things.finger, things.leaf, things.forceps, things.tag)


def lay_over(rng: Rng, picture: Picture, stage: Stage) -> None:
    """Lay things over the spike until they hide a tenth of its axis."""
    axis = _axis(stage)
    for attempt in range(_ATTEMPTS):
        middle = _at(axis, rng.uniform(0.2, 0.8))
        way = axis[-1] - axis[0]
        turn = float(np.arctan2(way[1], way[0])) + float(
            rng.choice((-1, 1)) * rng.uniform(0.9, 1.9)
        )
        draw = (
            things.finger if attempt >= _ATTEMPTS // 2 else _DRAWN[int(rng.integers(len(_DRAWN)))]
        )
        piece = _prop(stage) if attempt == 0 and chance(rng, 0.4) else None
        sticker = draw(rng, stage.ambience) if piece is None else piece
        _stick_pointing(rng, picture, stage, draw=draw, sticker=sticker, at=middle, angle=turn)
        if _hidden(picture, axis) >= _HIDDEN_SHARE:
            return


def lay_beside(rng: Rng, picture: Picture, stage: Stage) -> None:
    """Lay one thing below the base, as when a stem is held, or well to the side."""
    axis, ppm = _axis(stage), picture.px_per_mm
    way = (axis[-1] - axis[0]) / np.hypot(*(axis[-1] - axis[0]))
    across = np.array([-way[1], way[0]]) * float(rng.choice((-1, 1)))
    angle = float(np.arctan2(-across[1], -across[0]))
    draw = _DRAWN[int(rng.integers(len(_DRAWN)))]
    if draw is things.finger or chance(rng, 0.4):
        at = (
            axis[0]
            - way * float(rng.uniform(10, 24)) * ppm
            - across * float(rng.uniform(0, 5)) * ppm
        )
        angle += float(rng.normal(0, 0.25))
    else:
        at = _at(axis, rng.uniform(0.0, 1.1)) + across * float(rng.uniform(15, 28)) * ppm
        angle = float(np.arctan2(way[1], way[0])) if draw in {things.leaf, things.tag} else angle
        angle += float(rng.normal(0, 0.2))
    _stick_pointing(
        rng, picture, stage, draw=draw, sticker=draw(rng, stage.ambience), at=at, angle=angle,
        reach_mm=0.0,
    )  # fmt: skip


def _stick_pointing(
    rng: Rng,
    picture: Picture,
    stage: Stage,
    *,
    draw: object,
    sticker: Sticker,
    at: Floats,
    angle: float,
    reach_mm: float | None = None,
) -> None:
    """Stick a thing so that its tip (its middle, for leaf and tag) reaches past a place."""
    pointing = draw in {things.finger, things.forceps}
    if pointing:
        reach = float(rng.uniform(3, 11)) if reach_mm is None else reach_mm
        at = at + np.array([np.cos(angle), np.sin(angle)]) * reach * picture.px_per_mm
    spot = Spot((float(at[0]), float(at[1])), angle, (1.0, 0.5) if pointing else (0.5, 0.5),
                flipped=False)  # fmt: skip
    height = float(rng.uniform(1, 5))
    stick(
        picture,
        sticker,
        spot,
        OVER,
        blur_px=float(rng.uniform(0, 0.12)) * picture.px_per_mm,
        shade=stage.ambience.shadow(height, 0.55),
    )


def _prop(stage: Stage) -> Sticker | None:
    """Return a thing cut out of another layer."""
    return prop_sticker(stage.layers[1]) if len(stage.layers) > 1 else None


def _axis(stage: Stage) -> Floats:
    record = stage.layers[0].record
    return stage.placement.moved(np.array([(p.column, p.row) for p in record.axis]))


def _at(axis: Floats, share: float) -> Floats:
    return np.asarray(axis[0] + (axis[-1] - axis[0]) * share)


def _hidden(picture: Picture, axis: Floats) -> float:
    """Return the share of the axis that lies under something."""
    points = np.round(np.linspace(axis[0], axis[-1], 100)).astype(int)
    points = np.clip(points, 0, np.array(picture.shape[::-1]) - 1)
    return float((picture.owner[points[:, 1], points[:, 0]] == OVER).mean())
