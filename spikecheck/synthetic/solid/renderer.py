"""Renders a scene into layers."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.solid import engine as engines
from spikecheck.synthetic.solid.colour_pass import render_colour
from spikecheck.synthetic.solid.grain import without_grain
from spikecheck.synthetic.solid.id_pass import look, whole_pixels
from spikecheck.synthetic.solid.layers import Layers
from spikecheck.synthetic.solid.order import draw_order
from spikecheck.synthetic.solid.part import OrganKind
from spikecheck.synthetic.solid.scene import draw_scene
from spikecheck.synthetic.solid.truth import record_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.synthetic.solid.scene import Scene

SAMPLES = 16
_MEAN = 0.2  # mean radiance of the spike that layers are exposed to
_NOT_SPIKE = frozenset(
    {OrganKind.HAND, OrganKind.FORCEPS, OrganKind.TAG, OrganKind.OTHER, OrganKind.FLAG_LEAF}
)


def render_layers(
    seed: int,
    *,
    state: str | None = None,
    plenty: bool = False,
    variant: str = "auto",
    long_side_px: int | None = None,
    samples: int = SAMPLES,
) -> Layers:
    """Draw a scene and render it.

    Parameters
    ----------
    seed
        0 or more.
    state
        State of the spike; None draws state and leftovers as the seed has it.
    plenty
        Whether many anthers and look-alikes are left, see :func:`draw_order`.
    variant
        Mitsuba variant, or ``auto``.
    long_side_px
        Longest side; None for 18 to 24 px/mm.
    samples
        Paths a pixel.

    Raises
    ------
    RenderError
        If no variant starts.
    UsageError
        If the state is unknown.
    """
    wish = draw_order(seed, state=state, plenty=plenty)
    scene = draw_scene(wish, seed, long_side_px=long_side_px)
    return render_scene(scene, variant=variant, samples=samples)


def render_scene(scene: Scene, *, variant: str = "auto", samples: int = SAMPLES) -> Layers:
    """Render a scene; parameters and errors as in :func:`render_layers`."""
    engine = engines.start(variant)
    anthers = {o.index for o in scene.organs if o.kind is OrganKind.ANTHER}
    seen = look(engine, scene.parts, scene.view)
    alone = [part for part in scene.parts if part.organ in anthers]
    whole = whole_pixels(engine, alone, scene.view)
    radiance, cover = render_colour(
        engine, scene.parts, scene.light, scene.view, touched=seen.touched,
        roughness=scene.roughness, samples=samples, seed=scene.seed,
    )  # fmt: skip
    radiance = without_grain(radiance, seen.organ, seen.depth_mm, samples=samples)
    radiance *= _exposure(radiance, seen.organ, scene)
    return Layers(
        radiance=np.clip(radiance, 0, 60_000).astype(np.float16),
        alpha=np.round(cover * 255).astype(np.uint8),
        organ=seen.organ,
        depth_mm=seen.depth_mm.astype(np.float16),
        record=record_of(scene, seen.organ, whole),
    )


def _exposure(radiance: NDArray[np.float32], organ: NDArray[np.uint16], scene: Scene) -> np.float32:
    """Return the factor that brings the spike to its mean, its brightest hundredth left out."""
    other = [o.index for o in scene.organs if o.kind in _NOT_SPIKE]
    grey = radiance[(organ > 0) & ~np.isin(organ, other)].mean(axis=-1)
    if not grey.size or not grey.max() > 0:
        return np.float32(1)
    return np.float32(_MEAN / np.minimum(grey, np.percentile(grey, 99)).mean())
