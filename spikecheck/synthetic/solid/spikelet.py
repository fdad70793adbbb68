"""One spikelet: two glumes, two outer florets, central florets or the stub they leave."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import mixed
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.solid.edges import cut_bead, hairy, sheet_mesh
from spikecheck.synthetic.solid.floret_shape import FloretPlan, build_floret
from spikecheck.synthetic.solid.hull_shape import Cut, HullForm, lemma_sheet, moved_cut
from spikecheck.synthetic.solid.mesh import Mesh, bezier, frame, hairs, joined, tube, unit
from spikecheck.synthetic.solid.part import Material, OrganKind
from spikecheck.synthetic.solid.skin import GLUME, sheet_colours

if TYPE_CHECKING:
    from collections.abc import Iterator

    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.solid.assembly import Assembly
    from spikecheck.synthetic.solid.floret_shape import BuiltFloret
    from spikecheck.synthetic.solid.habit import Habit
    from spikecheck.synthetic.solid.look import PlantLook

_UP, _BACK = np.array([0, 0, 1.0]), np.array([0, 1.0, 0])


@dataclass(frozen=True, slots=True, eq=False)
class SpikeletSpot:
    """Where a spikelet stands and what was done to it.

    Parameters
    ----------
    base
        Its foot on the rachis, shape (3,), mm.
    rank
        -1 left, 1 right.
    size
        Size as a share of the plant's typical one.
    clipped
        Whether each outer floret, front and back, is cut.
    central
        How many central florets are there.
    """

    base: Floats
    rank: int
    size: float
    clipped: tuple[bool, bool]
    central: int


@dataclass(frozen=True, slots=True, eq=False)
class PlacedFloret:
    """A built floret with where it stands: rank -1 or 1, and whether it turns to the camera."""

    built: BuiltFloret
    rank: int
    front: bool
    outer: bool


def build_spikelet(
    spot: SpikeletSpot,
    look: PlantLook,
    habit: Habit,
    assembly: Assembly,
    rng: np.random.Generator,
    keys: Iterator[int],
) -> list[PlacedFloret]:
    """Add a spikelet to the plant; return its florets."""
    lean = habit.spikelet_lean + rng.normal(0, 0.06)
    up = np.array([spot.rank * np.sin(lean), 0, np.cos(lean)])
    out = np.array([spot.rank * np.cos(lean), 0, -np.sin(lean)])
    florets = []
    first_in_front = chance(rng, 0.5)
    for face, clipped in zip((-1, 1), spot.clipped, strict=True):
        lower = (face < 0) == first_in_front
        root = spot.base + up * (0.6 if lower else 1.5) + out * 0.3 + _BACK * face * 0.75
        plan = _outer_plan(spot, look, habit, rng, (next(keys), face, clipped), (root, up, out))
        florets.append(
            PlacedFloret(build_floret(plan, look, assembly, rng), spot.rank, face < 0, outer=True)
        )
        _add_glume(
            plan, face, look, habit, assembly, rng, (spot.base + _BACK * face * 0.95, up, out)
        )
    for order in range(spot.central):
        face = (-1 if first_in_front else 1) * (1 if order % 2 == 0 else -1)
        plan = _central_plan(spot, look, habit, rng, next(keys), face, order, (up, out))
        florets.append(
            PlacedFloret(build_floret(plan, look, assembly, rng), spot.rank, face < 0, outer=False)
        )
    if habit.trimmed and spot.central == 0:
        stub = _torn_stub(spot.base + up * 1.2 + out * 0.5, up, look, rng)
        assembly.add(stub, OrganKind.RACHIS, Material.STEM)
    return florets


def _forms(
    look: PlantLook, habit: Habit, rng: np.random.Generator, size: float, gape: float
) -> tuple[HullForm, HullForm]:
    """Return the shapes of a lemma and of the palea in it."""
    length = look.floret_mm * size * rng.uniform(0.92, 1.08)
    width = look.width_mm * size * rng.uniform(0.9, 1.1)
    depth = 0.36 * width * rng.uniform(0.8, 1.25)
    lemma = HullForm(
        length_mm=float(np.clip(length, 5.5, 11)),
        width_mm=width,
        depth_mm=depth,
        wrap=rng.uniform(1.65, 2.25),
        fullest=rng.uniform(0.34, 0.55),
        foot=rng.uniform(0.35, 0.55),
        tip=rng.uniform(0.06, 0.16),
        bow_mm=rng.uniform(0.2, 1.2),
        keel=rng.beta(1.2, 3) * 0.7,
        open_angle=0.35 * gape + rng.normal(0, 0.015),
        curl=habit.curl * rng.beta(0.8, 2.0),
        blunt=rng.uniform(1.4, 2.4),
        dents=0.08 + 0.25 * rng.beta(1, 4),
        nerves=int(rng.choice([5, 7])),
        skew=rng.normal(0, 0.25),
    )
    palea = replace(
        lemma,
        length_mm=lemma.length_mm * rng.uniform(0.9, 0.98),
        width_mm=width * rng.uniform(0.78, 0.94),
        depth_mm=depth * rng.uniform(0.8, 1.1),
        bow_mm=rng.uniform(0.0, 0.5),
        keel=rng.uniform(0.1, 0.7),
        open_angle=0.65 * gape,
    )
    return lemma, palea


def _outer_plan(
    spot: SpikeletSpot,
    look: PlantLook,
    habit: Habit,
    rng: np.random.Generator,
    who: tuple[int, int, bool],
    place: tuple[Floats, Floats, Floats],
) -> FloretPlan:
    key, face, clipped = who
    root, up, out = place
    lean = max(habit.floret_lean + rng.normal(0, 0.09), 0.05)
    turn = habit.turn + rng.normal(0, 0.2)
    along = np.cos(lean) * up + np.sin(lean) * face * _BACK + rng.normal(0, 0.04, 3)
    back = np.cos(turn) * face * _BACK + np.sin(turn) * out
    gape = habit.draw_gape(rng) if clipped else abs(rng.normal(0, 0.02))
    lemma, palea = _forms(look, habit, rng, spot.size, gape)
    awn = 0.0
    if look.awned:
        awn = look.awn_mm * rng.uniform(0.65, 1.1) if not habit.trimmed else rng.uniform(1, 14)
    elif chance(rng, 0.5):
        awn = rng.uniform(0.4, 3)  # short tips of awnless lines
    return FloretPlan(
        key=key,
        frame=frame(root, along, back),
        lemma=lemma,
        palea=palea,
        cut=habit.draw_cut(rng, lemma.length_mm) if clipped else None,
        awn_mm=awn,
        fine=face < 0,
        palea_there=not clipped or chance(rng, 0.95),
        pistil_there=chance(rng, 0.95),
    )


def _central_plan(
    spot: SpikeletSpot,
    look: PlantLook,
    habit: Habit,
    rng: np.random.Generator,
    key: int,
    face: int,
    order: int,
    place: tuple[Floats, Floats],
) -> FloretPlan:
    """Return a central floret, higher and smaller than the outer ones; never cut."""
    up, out = place
    lean = (0.16 if order < 2 else 0.03) + rng.normal(0, 0.05)  # noqa: PLR2004
    along = np.cos(lean) * up + np.sin(lean) * face * _BACK + 0.12 * out + rng.normal(0, 0.04, 3)
    root = spot.base + up * (2.2 + 1.1 * order) + out * 0.7 + _BACK * face * 0.35
    size = spot.size * (0.9 - 0.13 * order) * rng.uniform(0.9, 1.05)
    lemma, palea = _forms(look, habit, rng, size, abs(rng.normal(0, 0.02)))
    awn = look.awn_mm * rng.uniform(0.4, 0.9) if look.awned and not habit.trimmed else 0.0
    back = face * _BACK + 0.5 * out
    return FloretPlan(key, frame(root, along, back), lemma, palea, None, awn, fine=face < 0)


def _add_glume(
    floret: FloretPlan,
    face: int,
    look: PlantLook,
    habit: Habit,
    assembly: Assembly,
    rng: np.random.Generator,
    place: tuple[Floats, Floats, Floats],
) -> None:
    """Add the glume behind which a floret stands, shorter than it and turned outwards."""
    root, up, out = place
    turn = habit.glume_turn + rng.normal(0, 0.18)
    back = np.cos(turn) * face * _BACK + np.sin(turn) * out
    along = unit(floret.frame.axes[2] + 0.12 * rng.uniform(0.2, 1.4) * back)
    own = frame(root, along, back)
    form = replace(
        floret.lemma,
        length_mm=floret.lemma.length_mm * habit.glume_share * rng.uniform(0.9, 1.08),
        width_mm=floret.lemma.width_mm * rng.uniform(1.02, 1.18),
        depth_mm=floret.lemma.depth_mm * rng.uniform(0.95, 1.2),
        wrap=rng.uniform(1.2, 1.6),
        keel=rng.uniform(0.4, 1.0),
        tip=rng.uniform(0.08, 0.3),
        nerves=int(rng.integers(3, 6)),
        bow_mm=rng.uniform(0.0, 0.5),
        open_angle=rng.uniform(-0.02, 0.08),
        skew=rng.normal(0, 0.5),
    )
    cut = None
    if floret.cut is not None and chance(rng, habit.glume_clip):
        cut = moved_cut(floret.cut, floret.frame, own)
    shape = (28, 33) if floret.fine else (16, 19)
    sheet = lemma_sheet(form, cut, rng, shape)
    colours = sheet_colours(sheet, GLUME, look, rng, length_mm=form.length_mm)
    mesh = sheet_mesh(sheet, colours)
    index = assembly.add(
        Mesh(own.place(mesh.vertices), mesh.faces, mesh.colours),
        OrganKind.GLUME,
        Material.LEAF,
        floret.key,
    )
    if cut is not None and floret.fine:
        edge = mixed(colours[-1], look.cut, rng.uniform(0.2, 0.9))
        assembly.more(cut_bead(own.place(sheet.points[-1]), edge, rng), Material.LEAF, index)
    elif cut is None:
        end = sheet.points[-1].mean(axis=0)
        beak = bezier(
            [end - [0, 0, 0.5], end, end + [0, rng.uniform(-0.1, 0.3), rng.uniform(0.4, 2.6)]], 5
        )
        spine = tube(
            own.place(beak), np.linspace(0.17, 0.03, 5), mixed(look.green, look.straw, 0.4), sides=5
        )
        assembly.more(spine, Material.STEM, index)
    if look.hairiness > 0 and floret.fine:
        tuft = hairy(sheet, look.hairiness, rng)
        assembly.more(
            Mesh(own.place(tuft.vertices), tuft.faces, tuft.colours), Material.STIGMA, index
        )


def _torn_stub(root: Floats, up: Floats, look: PlantLook, rng: np.random.Generator) -> Mesh:
    """Return what is left where the central florets were pulled out: a frayed bit of rachilla."""
    size = rng.uniform(0.6, 2.2)
    path = bezier([root - up, root, root + up * size + rng.normal(0, 0.2, 3)], 6)
    pale = mixed(look.pale, look.papery, rng.uniform(0.2, 0.8))
    body = tube(path, rng.uniform(0.25, 0.45) * np.linspace(1.1, 0.7, 6), pale, sides=8)
    count = int(rng.integers(4, 14))
    roots = np.repeat(path[-1:], count, axis=0) + rng.normal(0, 0.16, (count, 3))
    tips = roots + unit(up + rng.normal(0, 0.5, (count, 3))) * rng.uniform(0.2, 0.9, (count, 1))
    return joined([body, hairs(roots, tips, 0.06, pale)])
