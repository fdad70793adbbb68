"""Which organ shows in each pixel, how near it is, and how much of an organ there is in all."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from spikecheck.synthetic.solid.part import MergedMesh

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.synthetic.solid.part import Part
    from spikecheck.synthetic.solid.view import View

_STEP_MM = 1e-3  # past a hit, before the next one of the same ray is looked for
_DEEPEST = 24  # surfaces of anthers behind one another that are counted


@dataclass(frozen=True, slots=True)
class Seen:
    """What shows.

    Parameters
    ----------
    organ
        Front-most organ at each pixel's centre, uint16 of shape (H, W), 0 nothing.
    depth_mm
        Height towards the camera over the plane of the axis, float32 of shape (H, W).
    touched
        Pixels in which anything may show, bool of shape (H, W).
    """

    organ: NDArray[np.uint16]
    depth_mm: NDArray[np.float32]
    touched: NDArray[np.bool_]


def look(engine: Any, parts: Sequence[Part], view: View) -> Seen:  # noqa: ANN401
    """Trace one ray through each pixel's centre.

    Parameters
    ----------
    engine
        Mitsuba (:func:`spikecheck.synthetic.solid.engine.start`).
    parts
        All parts of the scene, turned into the world.
    view
        The camera.
    """
    import cv2

    scene, organs = _scene_of(engine, parts)
    size = (view.height_px, view.width_px)
    organ, depth = np.zeros(size, np.uint16), np.zeros(size, np.float32)
    rows, columns = _reach(parts, view)
    face, t = _hits(engine, scene, view, view.rays(rows, columns))
    hit = face >= 0
    rows, columns = rows[hit], columns[hit]
    organ[rows, columns] = organs[face[hit]]
    depth[rows, columns] = view.distance_mm - t[hit]
    touched = (organ > 0).astype(np.uint8)
    for part in parts:  # hairs are thinner than a pixel: rays miss them, their corners do not
        _mark(touched, view.project(part.vertices))
    return Seen(organ, depth, cv2.dilate(touched, np.ones((3, 3), np.uint8)).astype(bool))


def whole_pixels(
    engine: Any,  # noqa: ANN401
    parts: Sequence[Part],
    view: View,
) -> dict[int, int]:
    """Count the pixels each organ would show in if it were alone.

    Parameters
    ----------
    engine, view
        As in :func:`look`.
    parts
        The parts of the organs that are asked for; they may hide one another.
    """
    if not parts:
        return {}
    scene, organs = _scene_of(engine, parts)
    rays = view.rays(*_reach(parts, view))
    start = np.zeros(len(rays), np.float32)
    pixels = np.arange(len(rays))
    step = int(organs.max()) + 1
    pairs = [np.empty(0, np.int64)]
    for _ in range(_DEEPEST):
        face, t = _hits(engine, scene, view, rays, start)
        hit = face >= 0
        if not hit.any():
            break
        rays, pixels = rays[hit], pixels[hit]
        start = t[hit] + _STEP_MM
        pairs.append(pixels * step + organs[face[hit]])
    kinds, counts = np.unique(np.unique(np.concatenate(pairs)) % step, return_counts=True)
    found = dict(zip(kinds.tolist(), counts.tolist(), strict=True))
    return {organ: found.get(organ, 0) for organ in sorted({part.organ for part in parts})}


def _reach(parts: Sequence[Part], view: View) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return rows and columns of the pixels that parts may show in: those of their boxes."""
    mask = np.zeros((view.height_px, view.width_px), bool)
    for part in parts:
        if len(part.vertices):
            places = view.project(part.vertices)
            top, left = np.maximum(np.floor(places.min(axis=0)).astype(int), 0)
            bottom, right = np.maximum(np.ceil(places.max(axis=0)).astype(int) + 1, 0)
            mask[top:bottom, left:right] = True
    rows, columns = np.nonzero(mask)
    return rows, columns


def _mark(mask: NDArray[np.uint8], places: NDArray[np.float64]) -> None:
    """Set the pixels of places, (N, 2) row and column, in a mask."""
    rows, columns = np.rint(places).astype(np.int64).T
    inside = (rows >= 0) & (rows < mask.shape[0]) & (columns >= 0) & (columns < mask.shape[1])
    mask[rows[inside], columns[inside]] = 1


def _hits(
    engine: Any,  # noqa: ANN401
    scene: Any,  # noqa: ANN401
    view: View,
    rays: NDArray[np.float32],
    start: NDArray[np.float32] | None = None,
) -> tuple[NDArray[np.int64], NDArray[np.float32]]:
    """Return the face hit by each ray, -1 for none, and the distance along its y axis, mm."""
    if not len(rays):  # Dr.Jit ends the process over an empty array
        return np.empty(0, np.int64), np.empty(0, np.float32)
    origin = np.broadcast_to(np.array(view.origin_mm, np.float32), rays.shape)
    if start is not None:
        origin = origin + rays * start[:, None]
    ray = engine.Ray3f(_point(engine, origin), engine.Vector3f(_point(engine, rays)))
    found = scene.ray_intersect_preliminary(ray)
    valid = np.array(found.is_valid(), dtype=bool)
    face = np.where(valid, np.array(found.prim_index, dtype=np.int64), -1)
    t = np.array(found.t, dtype=np.float32)
    return face, np.where(valid, t if start is None else t + start, 0).astype(np.float32)


def _point(engine: Any, rows: NDArray[np.floating]) -> Any:  # noqa: ANN401
    return engine.Point3f(*(engine.Float(np.ascontiguousarray(rows[:, k])) for k in range(3)))


def _scene_of(engine: Any, parts: Sequence[Part]) -> tuple[Any, NDArray[np.int64]]:  # noqa: ANN401
    """Return a scene of one merged mesh, and the organ of each of its faces."""
    merged = _all_in_one(parts)
    mesh = engine.Mesh("all", len(merged.vertices), len(merged.faces))
    values = engine.traverse(mesh)
    values["vertex_positions"] = engine.Float(merged.vertices.ravel())
    values["faces"] = engine.UInt32(merged.faces.ravel().astype(np.uint32))
    values.update()
    return engine.load_dict({"type": "scene", "all": mesh}), merged.organs.astype(np.int64)


def _all_in_one(parts: Sequence[Part]) -> MergedMesh:
    starts = np.cumsum([0, *(len(part.vertices) for part in parts[:-1])])
    faces = [part.faces + start for part, start in zip(parts, starts, strict=True)]
    return MergedMesh(
        vertices=np.concatenate([part.vertices for part in parts]).astype(np.float32),
        faces=np.concatenate(faces).astype(np.int32),
        colours=np.concatenate([part.colours for part in parts]).astype(np.float32),
        organs=np.repeat(
            np.array([part.organ for part in parts], np.int32), [len(f) for f in faces]
        ),
    )
