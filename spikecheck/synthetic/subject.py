"""The spike of an image: drawn so that it shows what its kind promises."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.brush import Brush
from spikecheck.synthetic.canvas import Canvas
from spikecheck.synthetic.layout import neighbour
from spikecheck.synthetic.leftovers import Leftover, LeftoverWish, Place, choose_leftovers
from spikecheck.synthetic.preparation import Preparation
from spikecheck.synthetic.randomness import stream
from spikecheck.synthetic.spike import Drawn, SpikePainter
from spikecheck.synthetic.spike_plan import Ground, SpikePlan, plan_spike
from spikecheck.synthetic.truth import true_anthers, true_florets, true_outline
from spikecheck.synthetic.view import View
from spikecheck.vocabulary import PhotoTruth, Point, Verdict

if TYPE_CHECKING:
    from spikecheck.synthetic.genotype import Genotype
    from spikecheck.synthetic.kinds import Kind
    from spikecheck.synthetic.layout import Layout
    from spikecheck.synthetic.light import Light

LEAST_AREA_MM2 = 0.25  # a leftover that shows less is no fair question
_CLEAR_SHARE = 0.6  # every opening of a spike that may pass can be looked into this far
_ATTEMPTS = 12


@dataclass(frozen=True, slots=True, eq=False)
class Sight:
    """What is to be seen: the frame, the view, how many spikelets, of which line."""

    layout: Layout
    view: View
    count: int
    genotype: Genotype


@dataclass(slots=True, eq=False)
class Subject:
    """A drawn spike, before its truth is read off (things may still be laid over it)."""

    canvas: Canvas
    plan: SpikePlan
    drawn: Drawn
    leftovers: list[Leftover]

    def truth(self, name: str, kind: Kind) -> PhotoTruth:
        """Return the truth as the canvas now shows it."""
        florets = true_florets(self.canvas, self.plan, self.drawn)
        axis = self.plan.axis
        height, width = self.canvas.alpha.shape
        return PhotoTruth(
            image=name, width=width, height=height,
            anthers=true_anthers(
                self.canvas, self.leftovers, self.drawn, florets, axis.px_per_mm
            ),
            florets=tuple(sorted(florets.values(), key=lambda f: (f.side, int(f.id[1:])))),
            verdict=kind.verdict, problems=kind.problems, px_per_mm=axis.px_per_mm,
            outline=true_outline(self.canvas),
            axis=tuple(Point(r, c) for r, c in axis.line()),
        )  # fmt: skip


def draw_subject(kind: Kind, seed: int, sight: Sight, light: Light) -> Subject:
    """Draw a spike of a kind, again where it does not show what the kind promises.

    A spike that may pass loses the florets that are covered (a technician would trim them), and
    leftovers that do not show are placed elsewhere.
    """
    layout, genotype = sight.layout, sight.genotype
    ground = Ground(stream(kind.name, seed, "plant"), layout.axis, sight.view, genotype)
    plan = plan_spike(ground, sight.count, kind.preparation)
    leftovers: list[Leftover] = []
    for attempt in range(_ATTEMPTS):
        if kind.leftovers is not None:
            wish = kind.leftovers if attempt < _ATTEMPTS // 2 else _easier(kind.leftovers)
            rng = stream(kind.name, seed, f"leftovers {attempt}")
            leftovers = choose_leftovers(rng, wish, genotype, _open_florets(plan))
        canvas = Canvas(layout.height, layout.width, light)
        brush = Brush(canvas, stream(kind.name, seed, "tissue"), genotype, layout.axis.px_per_mm)
        anther_rng = stream(kind.name, seed, f"anthers {attempt}")
        drawn = SpikePainter(brush, plan, leftovers, anther_rng).paint(layout.stem_mm)
        subject = Subject(canvas, plan, drawn, leftovers)
        hidden = _hidden_florets(subject) if kind.verdict is Verdict.PASS else set()
        if not hidden and _all_show(subject):
            break
        plan.florets = [f for i, f in enumerate(plan.florets) if i not in hidden]
    return subject


def add_neighbour(kind: str, seed: int, canvas: Canvas, sight: Sight) -> None:
    """Draw a second spike beside, its parts without a name in the truth."""
    rng, layout = stream(kind, seed, "neighbour"), sight.layout
    axis = neighbour(rng, layout)
    turned = View(float(rng.uniform(0, 2 * np.pi)), sight.view.elevation)
    count = int(np.clip(round(axis.length_mm / 3.9 - 0.9), 6, 16))
    plan = plan_spike(Ground(rng, axis, turned, sight.genotype), count, Preparation())
    beside = Canvas(layout.height, layout.width, canvas.light)
    brush = Brush(beside, rng, sight.genotype, axis.px_per_mm)
    SpikePainter(brush, plan, [], rng).paint(layout.stem_mm)
    behind = beside.alpha * (1 - canvas.alpha)
    total = np.maximum(canvas.alpha + behind, 1e-6)[..., None]
    canvas.rgb[:] = (canvas.rgb * canvas.alpha[..., None] + beside.rgb * behind[..., None]) / total
    canvas.alpha += behind


def _open_florets(plan: SpikePlan) -> list[int]:
    """Return the florets of the near face that can be looked into."""
    return [
        index
        for index, floret in enumerate(plan.florets)
        if floret.near and floret.shape.opening is not None and floret.shape.opening.faces_camera
    ]


def _hidden_florets(subject: Subject) -> set[int]:
    florets = true_florets(subject.canvas, subject.plan, subject.drawn)
    return {index for index, floret in florets.items() if floret.cavity_visible < _CLEAR_SHARE}


def _all_show(subject: Subject) -> bool:
    ppm = subject.plan.axis.px_per_mm
    return all(
        np.count_nonzero(subject.canvas.anther == leftover.code) / ppm**2 >= LEAST_AREA_MM2
        for leftover in subject.leftovers
    )


def _easier(wish: LeftoverWish) -> LeftoverWish:
    """Return a wish for one leftover where it can hardly be hidden."""
    places = (Place.OUTSIDE,) if wish.places == (Place.OUTSIDE,) else (Place.OVER_EDGE,)
    return LeftoverWish((1, 1), wish.stages, places, wish.broken)
