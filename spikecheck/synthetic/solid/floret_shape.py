"""One floret of the plant: lemma, palea, their cut edges, and what is inside."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import mixed
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.solid.awn_shape import awn
from spikecheck.synthetic.solid.edges import cut_bead, hairy, sheet_mesh, split
from spikecheck.synthetic.solid.hull_shape import lemma_sheet, palea_sheet
from spikecheck.synthetic.solid.mesh import Mesh, unit
from spikecheck.synthetic.solid.part import Material, OrganKind
from spikecheck.synthetic.solid.pistil_shape import filament_stub, ovary, stigma
from spikecheck.synthetic.solid.skin import LEMMA, PALEA, sheet_colours

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.solid.assembly import Assembly
    from spikecheck.synthetic.solid.hull_shape import Cut, HullForm, Sheet
    from spikecheck.synthetic.solid.look import PlantLook
    from spikecheck.synthetic.solid.mesh import Frame

_TIP_SHARE = 0.86  # an uncut floret would be cut about here


@dataclass(frozen=True, slots=True, eq=False)
class FloretPlan:
    """A floret before it is built.

    Parameters
    ----------
    key
        Number of the floret on its plant.
    frame
        Its foot and directions; the back of the lemma looks outwards.
    lemma, palea
        Shapes of its sheets.
    cut
        Where it is cut, in its frame; None when it is whole.
    awn_mm
        Length of the awn, or of its stub; 0 for none.
    fine
        Whether it faces the camera and is worth more detail.
    palea_there, pistil_there
        Whether the forceps left the palea and the pistil in it.
    """

    key: int
    frame: Frame
    lemma: HullForm
    palea: HullForm
    cut: Cut | None
    awn_mm: float
    fine: bool
    palea_there: bool = True
    pistil_there: bool = True


@dataclass(frozen=True, slots=True, eq=False)
class BuiltFloret:
    """A floret as built, on the upright plant.

    Parameters
    ----------
    plan
        What it was built from.
    opening
        Shape (N, 3), mm: closed rim of the cut, lemma's margin to margin and back on the palea;
        of an uncut floret, where the cut would be.
    normal
        Shape (3,): out of the opening.
    rim_front
        Shape (M, 3): the lemma's share of the rim.
    rim_height_mm
        Height of the opening's middle over the foot, along the floret.
    organs
        Indices of its organs.
    """

    plan: FloretPlan
    opening: Floats
    normal: Floats
    rim_front: Floats
    rim_height_mm: float
    organs: tuple[int, ...]


def build_floret(
    plan: FloretPlan, look: PlantLook, assembly: Assembly, rng: np.random.Generator
) -> BuiltFloret:
    """Add a floret to the plant."""
    shape = (34, 49) if plan.fine else (20, 27)
    front = lemma_sheet(plan.lemma, plan.cut, rng, shape)
    back = palea_sheet(plan.palea, plan.cut, rng, (shape[0], shape[1] - 10))
    place = plan.frame.place
    organs = [_add_sheet(front, plan, look, assembly, rng, kind=OrganKind.LEMMA)]
    if plan.palea_there:
        organs.append(_add_sheet(back, plan, look, assembly, rng, kind=OrganKind.PALEA))
    if plan.awn_mm > 0 and (plan.cut is None or front.cut[shape[1] // 2] >= 1):
        root, before = front.points[-1, shape[1] // 2], front.points[-4, shape[1] // 2]
        direction = unit(plan.frame.turn(root - before))
        mesh = awn(rng, place(root[None])[0], direction, plan.awn_mm, look)
        organs.append(assembly.add(mesh, OrganKind.AWN, Material.STEM, plan.key))
    if plan.cut is not None and plan.pistil_there:
        organs.extend(_add_pistil(plan, assembly, rng))
    rim_front = _edge(front, clipped=plan.cut is not None)
    rim_back = _edge(back, clipped=plan.cut is not None)
    loop = place(np.concatenate([rim_front, rim_back[::-1]]))
    return BuiltFloret(
        plan=plan,
        opening=loop,
        normal=_loop_normal(loop, plan.frame.axes[2]),
        rim_front=place(rim_front),
        rim_height_mm=float(np.concatenate([rim_front, rim_back])[:, 2].mean()),
        organs=tuple(organs),
    )


def _edge(sheet: Sheet, *, clipped: bool) -> Floats:
    row = -1 if clipped else int(_TIP_SHARE * (sheet.points.shape[0] - 1))
    result: Floats = sheet.points[row]
    return result


def _add_sheet(
    sheet: Sheet,
    plan: FloretPlan,
    look: PlantLook,
    assembly: Assembly,
    rng: np.random.Generator,
    *,
    kind: OrganKind,
) -> int:
    lemma = kind is OrganKind.LEMMA
    length = plan.lemma.length_mm
    colours = sheet_colours(sheet, LEMMA if lemma else PALEA, look, rng, length_mm=length)
    mesh = sheet_mesh(sheet, colours, back_out=lemma)
    if plan.cut is not None and chance(rng, 0.12):
        mesh = split(mesh, sheet, rng)
    placed = Mesh(plan.frame.place(mesh.vertices), mesh.faces, mesh.colours)
    index = assembly.add(placed, kind, Material.LEAF, plan.key)
    if plan.cut is not None and plan.fine:
        colour = mixed(colours[-1], look.cut, rng.uniform(0.0, 0.8))
        bead = cut_bead(plan.frame.place(sheet.points[-1]), colour, rng)
        assembly.more(bead, Material.LEAF, index)
    if lemma and look.hairiness > 0 and plan.fine:
        tuft = hairy(sheet, look.hairiness, rng)
        placed = Mesh(plan.frame.place(tuft.vertices), tuft.faces, tuft.colours)
        assembly.more(placed, Material.STIGMA, index)
    return index


def _add_pistil(plan: FloretPlan, assembly: Assembly, rng: np.random.Generator) -> list[int]:
    """Add ovary, stigmas and stubs of filaments; return their indices."""

    def add(mesh: Mesh, kind: OrganKind) -> int:
        placed = Mesh(plan.frame.place(mesh.vertices), mesh.faces, mesh.colours)
        return assembly.add(placed, kind, Material.STIGMA, plan.key)

    size = rng.uniform(1.2, 1.8)
    organs = [add(ovary(rng, size), OrganKind.OVARY)]
    length = rng.uniform(1.5, 3.0)  # of a stigma: common practice
    dried = rng.beta(1, 3)
    for side in (-1, 1):
        if chance(rng, 0.92):
            root = np.array([0.12 * side, 0.1, 0.6 + size])
            branch = stigma(rng, root, length * rng.uniform(0.8, 1.1), side, dried)
            organs.append(add(branch, OrganKind.STIGMA))
    for _ in range(rng.integers(0, 4)):
        organs.append(add(filament_stub(rng), OrganKind.FILAMENT))  # noqa: PERF401
    return organs


def _loop_normal(loop: Floats, outward: Floats) -> Floats:
    """Return the normal of a closed line (Newell's sum) that points outwards."""
    centred = loop - loop.mean(axis=0)
    normal = unit(np.cross(centred, np.roll(centred, -1, axis=0)).sum(axis=0))
    return (normal if normal @ outward > 0 else -normal).astype(np.float32)
