"""Glumes: keeled sheets that hold a spikelet, whole with a beak, or cut along with the florets."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import mixed
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.solid.edges import cut_bead, hairy, sheet_mesh
from spikecheck.synthetic.solid.floret_plans import BACK
from spikecheck.synthetic.solid.hull_shape import lemma_sheet, moved_cut
from spikecheck.synthetic.solid.mesh import Mesh, bezier, frame, tube, unit
from spikecheck.synthetic.solid.part import Material, OrganKind
from spikecheck.synthetic.solid.skin import GLUME, sheet_colours

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.solid.assembly import Assembly
    from spikecheck.synthetic.solid.floret_plans import Stand
    from spikecheck.synthetic.solid.floret_shape import FloretPlan
    from spikecheck.synthetic.solid.habit import Habit
    from spikecheck.synthetic.solid.hull_shape import HullForm
    from spikecheck.synthetic.solid.look import PlantLook
    from spikecheck.synthetic.solid.mesh import Frame


def add_glume(
    floret: FloretPlan,
    stand: Stand,
    look: PlantLook,
    habit: Habit,
    *,
    face: int,
    there: bool,
    assembly: Assembly,
    rng: np.random.Generator,
) -> None:
    """Add the glume that holds a floret, shorter than it and turned outwards.

    ``there`` tells whether the floret itself is still there; ``face`` is -1 in front.
    """
    turn = habit.glume_turn + rng.normal(0, 0.18)
    back = np.cos(turn) * face * BACK + np.sin(turn) * stand.out
    along = unit(floret.frame.axes[2] + 0.12 * rng.uniform(0.2, 1.4) * back)
    own = frame(stand.base + BACK * face * 0.95, along, back)
    form = _form(floret, habit, rng)
    cut = None
    if floret.cut is not None and chance(rng, habit.glume_clip):
        cut = moved_cut(floret.cut, floret.frame, own)
    sheet = lemma_sheet(form, cut, rng, (28, 33) if floret.fine else (16, 19))
    colours = sheet_colours(sheet, GLUME, look, rng, length_mm=form.length_mm)
    mesh = _placed(sheet_mesh(sheet, colours, back_out=True), own)
    index = assembly.add(mesh, OrganKind.GLUME, Material.LEAF, floret.key if there else None)
    if cut is None:
        spine = _beak(sheet.points[-1], look, habit, rng)
        assembly.more(_placed(spine, own), Material.STEM, index)
    elif floret.fine:
        edge = mixed(colours[-1], look.cut, rng.uniform(0.0, 0.8))
        assembly.more(cut_bead(own.place(sheet.points[-1]), edge, rng), Material.LEAF, index)
    if look.hairiness > 0 and floret.fine:
        tuft = _placed(hairy(sheet, look.hairiness, rng), own)
        assembly.more(tuft, Material.STIGMA, index)


def _form(floret: FloretPlan, habit: Habit, rng: np.random.Generator) -> HullForm:
    return replace(
        floret.lemma,
        length_mm=floret.lemma.length_mm * habit.glume_share * rng.uniform(0.9, 1.08),
        width_mm=floret.lemma.width_mm * rng.uniform(1.0, 1.18),
        depth_mm=floret.lemma.depth_mm * rng.uniform(0.95, 1.25),
        wrap=rng.uniform(1.15, 1.6),
        keel=rng.uniform(0.5, 1.3),
        tip=rng.uniform(0.06, 0.26),
        nerves=int(rng.integers(3, 6)),
        bow_mm=rng.uniform(-0.3, 0.5),
        open_angle=rng.uniform(-0.02, 0.1),
        skew=rng.normal(0, 0.6),
    )


def _beak(edge: Floats, look: PlantLook, habit: Habit, rng: np.random.Generator) -> Mesh:
    """Return the point in which the keel ends."""
    end = edge[len(edge) // 2]
    outward = np.array(
        [
            rng.normal(0, 0.15),
            rng.uniform(-0.1, 0.25) * habit.beak_mm,
            rng.uniform(0.4, 1.0) * habit.beak_mm,
        ]
    )
    path = bezier([end + np.array([0, -0.02, -0.7]), end, end + outward], 6)
    tone = mixed(look.green, look.straw, rng.uniform(0, 0.8))
    return tube(path, np.linspace(0.16, 0.03, 6), tone, sides=5)


def _placed(mesh: Mesh, own: Frame) -> Mesh:
    return Mesh(own.place(mesh.vertices), mesh.faces, mesh.colours)
