"""Makes one image of a kind from a seed, with its truth."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.axis import Axis
from spikecheck.synthetic.camera import draw_camera, photograph
from spikecheck.synthetic.canvas import Canvas
from spikecheck.synthetic.exposure import metered
from spikecheck.synthetic.genotype import draw_genotype
from spikecheck.synthetic.kinds import kind_of
from spikecheck.synthetic.leftovers import choose_leftovers
from spikecheck.synthetic.randomness import stream
from spikecheck.synthetic.scene import cast_shadow, draw_background, draw_light
from spikecheck.synthetic.spike import draw_spike
from spikecheck.synthetic.spike_plan import draw_view, plan_spike
from spikecheck.synthetic.truth import true_anthers, true_florets, true_outline
from spikecheck.vocabulary import PhotoTruth, Point

if TYPE_CHECKING:
    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, eq=False)
class SyntheticImage:
    """An image with its truth.

    Parameters
    ----------
    pixels
        uint8 array of shape (H, W, 3), sRGB.
    truth
        What is in it; its ``image`` is the file name it is written under.
    anther_map
        int32 array of shape (H, W): 0, or the number of the leftover that shows, from 1.
    """

    pixels: NDArray[np.uint8]
    truth: PhotoTruth
    anther_map: NDArray[np.int32]


def make_image(kind: str, seed: int, px_per_mm: float | None = None) -> SyntheticImage:
    """Make the image of a kind and seed.

    Parameters
    ----------
    kind
        Name of a kind (:data:`spikecheck.synthetic.kinds.KINDS`).
    seed
        0 or more; 0-999 for tuning, 10000 and more for reporting.
    px_per_mm
        Scale; None draws one from 20-28 px/mm.

    Raises
    ------
    UsageError
        If there is no such kind, or seed or scale is out of range.
    """
    wanted = kind_of(kind)
    layout = stream(kind, seed, "layout")
    drawn_ppm = float(layout.uniform(20, 28))
    ppm = drawn_ppm if px_per_mm is None else px_per_mm
    genotype = draw_genotype(stream(kind, seed, "genotype"))
    low, high = wanted.preparation.spikelets
    count = int(layout.integers(low, high + 1))
    view = draw_view(layout)
    length = (count + 0.9) * float(layout.uniform(4.0, 5.0)) * float(np.cos(view.elevation))
    height_mm, width_mm = length + float(layout.uniform(24, 40)), float(layout.uniform(48, 64))
    height, width = round(height_mm * ppm), round(width_mm * ppm)
    tilt = float(np.clip(layout.normal(0, 0.16), -0.43, 0.43))
    curve = float(layout.normal(0, 0.0016))
    rise, run = length * np.cos(tilt), length * np.sin(tilt + curve * length / 2)
    axis = Axis(
        row=height / 2 + (rise / 2 + layout.normal(1.0, 1.5)) * ppm,
        column=width / 2 + (-run / 2 + layout.normal(0, 2.5)) * ppm,
        tilt=tilt, curve_per_mm=curve, length_mm=length, px_per_mm=ppm,
    )  # fmt: skip
    plant = stream(kind, seed, "plant")
    plan = plan_spike(plant, axis, count, view, genotype, wanted.preparation)
    scene_rng = stream(kind, seed, "scene")
    light = draw_light(scene_rng)
    canvas = Canvas(height, width, light)
    leftovers = []
    if wanted.leftovers is not None:
        seen = [i for i, f in enumerate(plan.florets)
                if f.near and f.shape.opening is not None and f.shape.opening.faces_camera]  # fmt: skip
        leftovers = choose_leftovers(
            stream(kind, seed, "leftovers"), wanted.leftovers, genotype, seen
        )
    stem_mm = float(layout.uniform(40, 60))
    drawn = draw_spike(
        canvas, plant, plan, genotype, leftovers, stream(kind, seed, "anthers"), stem_mm
    )
    background, near = draw_background(scene_rng, (height, width), ppm, light)
    if near:
        cast_shadow(background, canvas.alpha, light, ppm, float(scene_rng.uniform(3, 12)))
    picture = background + (canvas.rgb - background) * canvas.alpha[..., None]
    picture *= np.float32(metered(picture, canvas.alpha))
    pixels = photograph(stream(kind, seed, "noise"), picture, draw_camera(scene_rng))
    florets = true_florets(canvas, plan, drawn)
    truth = PhotoTruth(
        image=f"{kind}_{seed:05d}.jpg", width=width, height=height,
        anthers=true_anthers(canvas, leftovers, drawn, florets, ppm),
        florets=tuple(sorted(florets.values(), key=lambda f: (f.side, f.position))),
        verdict=wanted.verdict, problems=wanted.problems, px_per_mm=ppm,
        outline=true_outline(canvas), axis=tuple(Point(r, c) for r, c in axis.line()),
    )  # fmt: skip
    return SyntheticImage(pixels, truth, canvas.anther)
