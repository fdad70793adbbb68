"""Makes one image of a kind from a seed, with its truth."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.errors import UsageError
from spikecheck.synthetic.brush import Brush
from spikecheck.synthetic.camera import draw_camera, photograph
from spikecheck.synthetic.canvas import Canvas
from spikecheck.synthetic.exposure import metered
from spikecheck.synthetic.genotype import draw_genotype
from spikecheck.synthetic.kinds import kind_of
from spikecheck.synthetic.layout import draw_layout
from spikecheck.synthetic.props import occlude, strew
from spikecheck.synthetic.randomness import stream
from spikecheck.synthetic.scene import cast_shadow, draw_background, draw_light
from spikecheck.synthetic.subject import Sight, add_neighbour, draw_subject
from spikecheck.synthetic.view import draw_view
from spikecheck.vocabulary import PhotoTruth, QualityProblem

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.synthetic.arrays import Bytes, Codes
_COVERED = 0.5  # a pixel is covered when more than half of it is
_SCALES = (22.0, 34.0)  # px/mm of a phone picture in which the spike fills the frame
SCALE_LIMITS = (2.0, 60.0)


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
    owner_map
        int32 array of shape (H, W): part of the spike that shows, 0 where none does.
    covered
        bool array of shape (H, W): where something hides the background.
    """

    pixels: Bytes
    truth: PhotoTruth
    anther_map: Codes
    owner_map: Codes
    covered: NDArray[np.bool_]


def make_image(kind: str, seed: int, px_per_mm: float | None = None) -> SyntheticImage:
    """Make the image of a kind and seed.

    Parameters
    ----------
    kind
        Name of a kind (:data:`spikecheck.synthetic.kinds.KINDS`).
    seed
        0 or more; 0-999 for tuning, 10000 and more for reporting.
    px_per_mm
        Scale; None draws one at random. Pictures taken from too far away have less.

    Raises
    ------
    UsageError
        If there is no such kind, or seed or scale is out of range.
    """
    wanted = kind_of(kind)
    if px_per_mm is not None and not SCALE_LIMITS[0] <= px_per_mm <= SCALE_LIMITS[1]:
        raise UsageError(
            f"the scale of an image lies in {SCALE_LIMITS[0]:g} to {SCALE_LIMITS[1]:g} px/mm, "
            f"got {px_per_mm:g}"
        )
    name, problem = f"{kind}_{seed:05d}.jpg", wanted.picture_problem
    rng = stream(kind, seed, "layout")
    drawn_scale = float(rng.uniform(*_SCALES))
    count = int(rng.integers(wanted.preparation.spikelets[0], wanted.preparation.spikelets[1] + 1))
    view = draw_view(rng)
    length_mm = (count + 0.9) * float(rng.uniform(4.0, 5.0)) * float(np.cos(view.elevation))
    layout = draw_layout(rng, length_mm, px_per_mm or drawn_scale, problem)
    shape, ppm = (layout.height, layout.width), layout.axis.px_per_mm

    scene = stream(kind, seed, "scene")
    light = draw_light(scene)
    camera = draw_camera(scene, ppm, light, problem)
    background, near = draw_background(scene, shape, ppm, light)
    genotype = draw_genotype(stream(kind, seed, "genotype"))
    sight = Sight(layout, view, count, genotype)
    if wanted.has_spike:
        subject = draw_subject(wanted, seed, sight, light)
        canvas = subject.canvas
        if problem is QualityProblem.SEVERAL_SPIKES:
            add_neighbour(kind, seed, canvas, sight)
        if problem is QualityProblem.OCCLUDED:
            props = stream(kind, seed, "props")
            middle = layout.axis.place(float(props.uniform(0.25, 0.75)) * length_mm)
            occlude(Brush(canvas, props, genotype, ppm), middle, layout.axis.tilt)
        truth = subject.truth(name, wanted)
    else:
        canvas = Canvas(*shape, light)
        strew(Brush(canvas, stream(kind, seed, "props"), genotype, ppm))
        truth = PhotoTruth(
            image=name, width=shape[1], height=shape[0], anthers=(),
            florets=(), verdict=wanted.verdict, problems=wanted.problems, px_per_mm=ppm,
        )  # fmt: skip
    if near:
        cast_shadow(background, canvas.alpha, light, ppm, float(scene.uniform(1, 7)))
    picture = background + (canvas.rgb - background) * canvas.alpha[..., None]
    picture *= np.float32(metered(picture, canvas.alpha))
    pixels = photograph(stream(kind, seed, "noise"), picture, camera)
    return SyntheticImage(pixels, truth, canvas.anther, canvas.owner, canvas.alpha > _COVERED)
