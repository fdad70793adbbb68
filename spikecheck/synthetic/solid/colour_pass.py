"""The path-traced picture: light and coverage, without a background.

Rays are made here instead of by a film: only pixels in which something shows are traced, and sizes
enter as data, so that every scene runs the kernel compiled for the first.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np

from spikecheck.synthetic.solid.materials import (
    COLOUR,
    INNER,
    ROUGH,
    ROUGHNESS,
    material_plugin,
)
from spikecheck.synthetic.solid.part import Material, MergedMesh, merged_by_material
from spikecheck.synthetic.solid.sky import HEIGHT, WIDTH
from spikecheck.synthetic.solid.surface import vertex_normals

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from spikecheck.synthetic.solid.light import Light
    from spikecheck.synthetic.solid.part import Part
    from spikecheck.synthetic.solid.view import View

PATH_DEPTH = 8
_AT_ONCE = 12_000_000  # paths a pass: bounds the memory (about 0.6 GB)
_BRIGHTEST = 12.0  # a single path brighter than this, in units of the light, is held back
# Inside, hulls have no wax and few nerves: how much of their colour is that of the bare tissue, and
# that tissue's tone, linear RGB (own choice).
_INNER_SHARE = 0.4
_INNER_TONE = np.array([0.80, 0.92, 0.52], np.float32)
# A speck far behind the camera stands in for a material of which the scene has nothing.
_SPECK = MergedMesh(
    vertices=np.array([[0, -5e3, 0], [1e-3, -5e3, 0], [0, -5e3, 1e-3]], np.float32),
    faces=np.array([[0, 1, 2]], np.int32),
    colours=np.full((3, 3), 0.5, np.float32),
    organs=np.zeros(1, np.int32),
)


def render_colour(
    engine: Any,  # noqa: ANN401
    parts: Sequence[Part],
    light: Light,
    view: View,
    *,
    touched: NDArray[np.bool_],
    roughness: Mapping[Material, float],
    samples: int,
    seed: int,
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Trace paths through the pixels in which something shows.

    Parameters
    ----------
    engine
        Mitsuba (:func:`spikecheck.synthetic.solid.engine.start`).
    parts
        All parts, turned into the world.
    light, view
        The light and the camera.
    touched
        Pixels to trace, bool of shape (H, W).
    roughness
        Roughness of each material, 0..1.
    samples
        Paths a pixel.
    seed
        Of the paths.

    Returns
    -------
    tuple of ndarray
        Radiance, linear, over black, float32 of shape (H, W, 3), and coverage 0..1, (H, W).
    """
    scene = _filled(engine, parts, light, roughness)
    integrator = engine.load_dict(
        {"type": "path", "max_depth": PATH_DEPTH, "rr_depth": 4, "hide_emitters": True}
    )
    rows, columns = np.nonzero(touched)
    total = np.zeros((len(rows), 4), np.float64)
    left, turn = samples, 0
    while left > 0 and len(rows):
        now = min(left, max(1, _AT_ONCE // len(rows)))
        places = np.stack([rows, columns], axis=1)
        total += _trace(
            engine, (scene, integrator), view, places, samples=now, seed=seed * 4096 + turn
        )
        left, turn = left - now, turn + 1
    radiance = np.zeros((*touched.shape, 3), np.float32)
    cover = np.zeros(touched.shape, np.float32)
    radiance[rows, columns] = (total[:, :3] / samples).astype(np.float32)
    cover[rows, columns] = (total[:, 3] / samples).astype(np.float32)
    return radiance, cover


def draw_roughness(rng: np.random.Generator) -> dict[Material, float]:
    """Draw how rough each material of a scene is."""
    return {material: float(rng.uniform(*ROUGHNESS[material])) for material in Material}


def _trace(
    engine: Any,  # noqa: ANN401
    traced: tuple[Any, Any],
    view: View,
    places: NDArray[np.int64],
    *,
    samples: int,
    seed: int,
) -> NDArray[np.float32]:
    """Return the sums over ``samples`` paths of R, G, B and coverage, (places, 4)."""
    import drjit as dr

    scene, integrator = traced
    count = len(places) * samples
    sampler = engine.load_dict({"type": "independent"})
    sampler.seed(dr.opaque(engine.UInt32, seed & 0x7FFFFFFF), count)
    sampler.schedule_state()
    dr.eval()
    pixel = dr.arange(engine.UInt32, count) // dr.opaque(engine.UInt32, samples)
    column = dr.gather(engine.Float, engine.Float(places[:, 1].astype(np.float32)), pixel)
    row = dr.gather(engine.Float, engine.Float(places[:, 0].astype(np.float32)), pixel)
    jitter = engine.warp.square_to_tent(sampler.next_2d())
    unit, middle_row, middle_column, x, y, z = (
        dr.opaque(engine.Float, float(value))
        for value in (
            1 / (view.px_per_mm * view.distance_mm), (view.height_px - 1) / 2,
            (view.width_px - 1) / 2, *view.origin_mm,
        )
    )  # fmt: skip
    towards = engine.Vector3f(
        (column + jitter.x - middle_column) * unit, 1, -(row + jitter.y - middle_row) * unit
    )
    ray = engine.RayDifferential3f(engine.Point3f(x, y, z), dr.normalize(towards))
    light, seen, _ = integrator.sample(scene, sampler, ray)
    brightest = dr.max(light)
    light = light * dr.select(brightest > _BRIGHTEST, _BRIGHTEST / brightest, 1)  # no fireflies
    light = dr.select(seen & dr.all(dr.isfinite(light)), light, 0)
    cover = dr.select(seen, engine.Float(1), engine.Float(0))
    values = (light[0], light[1], light[2], cover)
    dr.eval(*values)
    sums = [dr.block_reduce(dr.ReduceOp.Add, value, samples) for value in values]
    return np.stack([np.array(total) for total in sums], axis=1)


@cache
def _scene(engine: Any) -> Any:  # noqa: ANN401
    """Return the process's one scene: a mesh a material and a light, to be filled anew each time.

    Objects that stay keep their numbers, which stand in the compiled kernels: a new scene would
    be compiled anew.
    """
    dark = engine.Bitmap(np.zeros((HEIGHT, WIDTH, 3), np.float32) + np.float32(0.1))
    # In the plug-in's own frame y is up and the map's middle column looks along +z.
    turn = engine.ScalarTransform4f().rotate([1, 0, 0], 90)
    content: dict[str, Any] = {
        "type": "scene",
        "light": {"type": "envmap", "bitmap": dark, "to_world": turn},
    }
    for material in Material:
        properties = engine.Properties()
        properties["bsdf"] = engine.load_dict(material_plugin(material))
        mesh = engine.Mesh(
            material.value, len(_SPECK.vertices), len(_SPECK.faces),
            has_vertex_normals=True, props=properties,
        )  # fmt: skip
        mesh.add_attribute(COLOUR, 3, _SPECK.colours.ravel())
        mesh.add_attribute(INNER, 3, _SPECK.colours.ravel())
        mesh.add_attribute(ROUGH, 1, np.full(len(_SPECK.vertices), 0.5, np.float32))
        values = engine.traverse(mesh)
        _fill(engine, values, "", _SPECK, 0.5)
        values.update()
        content[material.value] = mesh
    return engine.load_dict(content)


def _filled(
    engine: Any,  # noqa: ANN401
    parts: Sequence[Part],
    light: Light,
    roughness: Mapping[Material, float],
) -> Any:  # noqa: ANN401
    """Return the process's scene with these parts in this light."""
    scene = _scene(engine)
    values = engine.traverse(scene)
    merged = merged_by_material(parts)
    for material in Material:
        mesh = merged.get(material, _SPECK)
        _fill(engine, values, f"{material.value}.", mesh, roughness[material])
    values["light.data"] = engine.TensorXf(_with_seam(light.radiance))
    values.update()
    return scene


def _fill(engine: Any, values: Any, name: str, mesh: MergedMesh, rough: float) -> None:  # noqa: ANN401
    normals = vertex_normals(mesh.vertices, mesh.faces)
    values[f"{name}vertex_positions"] = engine.Float(mesh.vertices.ravel())
    values[f"{name}vertex_normals"] = engine.Float(normals.ravel())
    values[f"{name}faces"] = engine.UInt32(mesh.faces.ravel().astype(np.uint32))
    values[f"{name}{COLOUR}"] = engine.Float(np.ascontiguousarray(mesh.colours).ravel())
    values[f"{name}{INNER}"] = engine.Float(inner_colours(mesh.colours).ravel())
    values[f"{name}{ROUGH}"] = engine.Float(np.full(len(mesh.vertices), rough, np.float32))


def inner_colours(outer: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return the reflectance of the inner side of a sheet: paler, without wax and stains."""
    grey = outer.mean(axis=-1, keepdims=True)
    inner = (1 - _INNER_SHARE) * outer + _INNER_SHARE * (0.6 * grey + 0.4) * _INNER_TONE
    return np.ascontiguousarray(np.clip(inner, 0, 1), np.float32)


def _with_seam(radiance: NDArray[np.float32]) -> NDArray[np.float32]:
    """Repeat the last column before the first and the first after the last, as the plug-in does."""
    return np.ascontiguousarray(
        np.concatenate([radiance[:, -1:], radiance, radiance[:, :1]], axis=1), np.float32
    )
