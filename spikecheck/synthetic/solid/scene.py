"""One scene: a plant turned before the camera, what is about it, the light and the camera."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.randomness import chance, stream
from spikecheck.synthetic.solid.colour_pass import draw_roughness
from spikecheck.synthetic.solid.light import draw_light
from spikecheck.synthetic.solid.part import OrganKind
from spikecheck.synthetic.solid.plant import draw_plant
from spikecheck.synthetic.solid.props import draw_props
from spikecheck.synthetic.solid.trimming import trimmed_for_view
from spikecheck.synthetic.solid.view import SPIN_DEG, WHOLE_SPIN_DEG, draw_turn, draw_view

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from spikecheck.synthetic.solid.light import Light
    from spikecheck.synthetic.solid.part import Material, Organ, Part
    from spikecheck.synthetic.solid.plant import Plant, PlantWish, SolidFloret
    from spikecheck.synthetic.solid.view import View

_WHOLE = ("heading", "anthesis")
_MARGIN_MM = 7.0
_LEAST_WIDTH_MM = 34.0
_MOST_WIDTH_MM = 52.0  # awns and hands may leave the picture beyond it
_TRIMMED_SHARE = 0.85  # own choice: the rest hides florets from the camera
_FLORAL = frozenset(
    {OrganKind.RACHIS, OrganKind.GLUME, OrganKind.LEMMA, OrganKind.PALEA, OrganKind.ANTHER}
)


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """Everything that is rendered, in the world of :mod:`spikecheck.synthetic.solid.view`.

    Parameters
    ----------
    seed, state
        What it was drawn from.
    parts, organs
        Meshes and the organs they name.
    florets
        The plant's florets.
    axis
        The spike's axis from base to tip, (M, 3), mm.
    light, view, roughness
        The light, the camera, and how rough each material is.
    families
        plant, pose, light, surround and prop.
    """

    seed: int
    state: str
    parts: tuple[Part, ...]
    organs: tuple[Organ, ...]
    florets: tuple[SolidFloret, ...]
    axis: NDArray[np.floating]
    light: Light
    view: View
    roughness: Mapping[Material, float]
    families: Mapping[str, str]


def draw_scene(wish: PlantWish, seed: int, *, long_side_px: int | None = None) -> Scene:
    """Draw a scene.

    Parameters
    ----------
    wish
        The plant that is wanted.
    seed
        0 or more; the same wish and seed give the same scene.
    long_side_px
        Longest side of the picture; None lets the scale (18 to 24 px/mm) decide.
    """
    spin_deg = WHOLE_SPIN_DEG if wish.state in _WHOLE else SPIN_DEG
    turn = draw_turn(stream("solid", seed, "turn"), spin_deg=spin_deg)
    plant = _turned(draw_plant(wish, stream("solid", seed, "plant")), turn.astype(np.float32))
    if wish.state == "prepared" and chance(stream("solid", seed, "trimming"), _TRIMMED_SHARE):
        plant = trimmed_for_view(plant)
    view_rng = stream("solid", seed, "view")
    props = draw_props(plant, stream("solid", seed, "props"))
    light = draw_light(stream("solid", seed, "light"))
    parts = (*plant.parts, *props.parts)
    kinds = {organ.index: organ.kind for organ in plant.organs}
    left, low, right, high = _frame(plant, kinds)
    box = (left, low - props.below_mm, right, high + props.above_mm)
    view = draw_view(box, view_rng, long_side_px=long_side_px)
    return Scene(
        seed=seed,
        state=wish.state,
        parts=parts,
        organs=(*plant.organs, *props.organs),
        florets=plant.florets,
        axis=plant.axis,
        light=light,
        view=view,
        roughness=draw_roughness(stream("solid", seed, "roughness")),
        families={
            **plant.families, "light": light.family, "surround": light.surround,
            "prop": props.family,
        },
    )  # fmt: skip


def _turned(plant: Plant, turn: NDArray[np.float32]) -> Plant:
    """Turn the plant before the camera; the middle of its axis comes to stand at x = y = 0."""
    middle = plant.axis.mean(axis=0) @ turn.T
    shift = np.array([-middle[0], -middle[1], 0], np.float32)

    def place(points: NDArray[np.floating]) -> NDArray[np.float32]:
        return (points.astype(np.float32) @ turn.T + shift).astype(np.float32)

    return replace(
        plant,
        parts=tuple(replace(part, vertices=place(part.vertices)) for part in plant.parts),
        florets=tuple(
            replace(floret, opening=place(floret.opening), normal=floret.normal @ turn.T)
            for floret in plant.florets
        ),
        axis=place(plant.axis),
    )


def _frame(plant: Plant, kinds: Mapping[int, OrganKind]) -> tuple[float, float, float, float]:
    """Return the part of the plane y = 0 to show: the spike with a margin, 34 mm wide or more."""
    floral = _points([part for part in plant.parts if kinds[part.organ] in _FLORAL])
    awns = _points([part for part in plant.parts if kinds[part.organ] is OrganKind.AWN])
    low, high = floral[:, 2].min() - _MARGIN_MM, floral[:, 2].max() + _MARGIN_MM
    sides = np.concatenate([floral[:, 0], awns[:, 0]]) if len(awns) else floral[:, 0]
    half = np.clip(
        np.percentile(np.abs(sides), 99.5) + 0.5 * _MARGIN_MM,
        _LEAST_WIDTH_MM / 2, _MOST_WIDTH_MM / 2,
    )  # fmt: skip
    if len(awns):
        high = max(high, min(float(np.percentile(awns[:, 2], 98)), high + 25))
    return float(-half), float(low), float(half), float(high)


def _points(parts: Sequence[Part]) -> NDArray[np.floating]:
    return np.concatenate([np.empty((0, 3), np.float32), *(part.vertices for part in parts)])
