"""The truth of a render, read off its id passes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.solid.layers import LayerAnther, LayerFloret, LayerRecord
from spikecheck.synthetic.solid.part import OrganKind
from spikecheck.vocabulary import AntherStage, Box, Point, Side

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from spikecheck.synthetic.solid.part import Organ
    from spikecheck.synthetic.solid.plant import SolidFloret
    from spikecheck.synthetic.solid.scene import Scene
    from spikecheck.synthetic.solid.view import View

_HULL = frozenset({OrganKind.GLUME, OrganKind.LEMMA, OrganKind.PALEA, OrganKind.AWN})
_LEAST_SEEN_PX_PER_MM2 = 0.25  # mm²: a floret of which less shows is not in the photo


def record_of(scene: Scene, organ: NDArray[np.uint16], whole_px: Mapping[int, int]) -> LayerRecord:
    """Return the record of a scene.

    Parameters
    ----------
    scene
        What was rendered.
    organ
        Front-most organ at each pixel, (H, W).
    whole_px
        Pixels of each anther if it were alone, by organ.
    """
    where = visible_pixels(organ)
    florets = _florets(scene, organ, where)
    named = {key: floret.id for key, floret in florets}
    return LayerRecord(
        seed=scene.seed,
        state=scene.state,
        px_per_mm=scene.view.px_per_mm,
        families=dict(scene.families),
        axis=_points(scene.view.project(scene.axis)),
        organs=scene.organs,
        florets=tuple(floret for _, floret in florets),
        anthers=tuple(
            _anther(o, where.get(o.index), named, whole_px)
            for o in scene.organs
            if o.kind is OrganKind.ANTHER
        ),
    )


def visible_pixels(organ: NDArray[np.uint16]) -> dict[int, NDArray[np.int64]]:
    """Return rows and columns, (2, N), of the pixels of each organ that shows."""
    flat = organ.ravel()
    order = np.argsort(flat, kind="stable")
    kinds, starts = np.unique(flat[order], return_index=True)
    groups = np.split(order, starts[1:])
    return {
        int(kind): np.stack(np.unravel_index(group, organ.shape))
        for kind, group in zip(kinds, groups, strict=True)
        if kind
    }


def _florets(
    scene: Scene, organ: NDArray[np.uint16], where: Mapping[int, NDArray[np.int64]]
) -> list[tuple[str, LayerFloret]]:
    """Return the florets facing the camera with their keys, named from the base up."""
    kinds = {o.index: o.kind for o in scene.organs}
    counts = dict.fromkeys(Side, 0)
    found = []
    for floret in sorted(scene.florets, key=lambda f: f.position):
        if floret.facing != "front":
            continue
        pixels = _joined(where, [i for i in floret.organs if kinds[i] in _HULL])
        if pixels.shape[1] < _LEAST_SEEN_PX_PER_MM2 * scene.view.px_per_mm**2:
            continue
        counts[floret.rank] += 1
        own = tuple(o.index for o in scene.organs if o.floret == str(floret.key))
        name = f"{floret.rank.letter}{counts[floret.rank]}"
        found.append(
            (
                str(floret.key),
                _floret(floret, name, scene.view, own=own, organ=organ, pixels=pixels),
            )
        )
    return found


def _floret(
    floret: SolidFloret,
    name: str,
    view: View,
    *,
    own: tuple[int, ...],
    organ: NDArray[np.uint16],
    pixels: NDArray[np.int64],
) -> LayerFloret:
    rim = view.project(floret.opening) if len(floret.opening) else np.empty((0, 2))
    middle = np.asarray(rim.mean(axis=0) if floret.clipped and len(rim) else pixels.mean(axis=1))
    return LayerFloret(
        id=name,
        centre=Point(float(middle[0]), float(middle[1])),
        box=_box(pixels),
        side=floret.rank,
        position=floret.position,
        clipped=floret.clipped,
        cavity_visible=_cavity_visible(floret, own, view, organ, rim),
        opening=_points(rim) if floret.clipped else (),
        organs=own,
    )


def _cavity_visible(
    floret: SolidFloret,
    own: tuple[int, ...],
    view: View,
    organ: NDArray[np.uint16],
    rim: NDArray[np.float64],
) -> float:
    """Share of the opening in which its own inside or its anthers show; 0 if it faces away."""
    import cv2

    if not floret.clipped or len(rim) < 3:  # noqa: PLR2004  (corners of a polygon)
        return 0.0
    towards = np.asarray(view.origin_mm) - floret.opening.mean(axis=0)
    if float(np.dot(floret.normal, towards)) <= 0:
        return 0.0
    mask = np.zeros(organ.shape, np.uint8)
    corners = np.round(rim[:, ::-1]).astype(np.int32)
    cv2.fillPoly(mask, [corners], 1)
    inside = organ[mask > 0]
    return float(np.isin(inside, own).mean()) if inside.size else 0.0


def _anther(
    organ: Organ,
    pixels: NDArray[np.int64] | None,
    named: Mapping[str, str],
    whole_px: Mapping[int, int],
) -> LayerAnther:
    seen = pixels is not None
    middle = pixels.mean(axis=1) if pixels is not None else None
    return LayerAnther(
        organ=organ.index,
        floret=named.get(organ.floret) if organ.floret is not None else None,
        stage=organ.stage or AntherStage.GREEN,
        near_anthesis=organ.near_anthesis,
        broken=organ.broken,
        length_mm=float(organ.length_mm or 0),
        visible_px=pixels.shape[1] if pixels is not None else 0,
        whole_px=max(whole_px.get(organ.index, 0), pixels.shape[1] if pixels is not None else 0),
        centre=None if middle is None else Point(float(middle[0]), float(middle[1])),
        box=_box(pixels) if seen and pixels is not None else None,
    )


def _joined(where: Mapping[int, NDArray[np.int64]], organs: Sequence[int]) -> NDArray[np.int64]:
    return np.concatenate(
        [np.empty((2, 0), np.int64), *(where[i] for i in organs if i in where)], axis=1
    )


def _box(pixels: NDArray[np.int64]) -> Box:
    (top, left), (bottom, right) = pixels.min(axis=1), pixels.max(axis=1) + 1
    return Box(float(top), float(left), float(bottom), float(right))


def _points(rows: NDArray[np.floating]) -> tuple[Point, ...]:
    return tuple(Point(float(row), float(column)) for row, column in rows)
