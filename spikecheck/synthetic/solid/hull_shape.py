"""Sheets of a floret as grids: lemma, palea and glume, whole or cut."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.solid.waves import cloud, wave

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.solid.mesh import Frame

_FLAP_SHARE = 0.2
_FINE_ROWS = 160  # how finely the cut is searched along a sheet


@dataclass(frozen=True, slots=True, eq=False)
class Cut:
    """A scissor cut: what lies beyond the plane goes.

    Parameters
    ----------
    point, normal
        Of the plane, shape (3,), in the floret's frame; the normal points to what goes.
    ragged_mm
        How far the edge strays from the plane.
    """

    point: Floats
    normal: Floats
    ragged_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class Sheet:
    """A thin sheet as a grid, in the floret's frame.

    Parameters
    ----------
    points
        Shape (R, C, 3), mm: rows from foot to edge, columns across.
    along
        Shape (R, C): share of the uncut length, 0..1.
    across
        Shape (C,): -1 and 1 at the margins.
    cut
        Shape (C,): where along the sheet it was cut; 1 where it was not.
    nerves
        Shape (K,): where its nerves run across it, -1..1.
    """

    points: Floats
    along: Floats
    across: Floats
    cut: Floats
    nerves: Floats


@dataclass(frozen=True, slots=True)
class HullForm:
    """Shape of a lemma, palea or glume.

    Parameters
    ----------
    length_mm, width_mm, depth_mm
        Length, greatest width, and how far the back stands off.
    wrap
        Half angle the sheet is wrapped round the axis, radians.
    fullest
        Share of the length at which it is widest.
    foot, tip
        Width at the foot and at the tip as shares of the greatest.
    bow_mm
        How far the tip bends back in (positive) or out.
    keel
        How sharply the back is folded, 0..1.
    open_angle
        How far it leans back from the axis, radians.
    curl
        How much the upper margins roll outwards, 0..1.
    blunt
        How long it stays wide before it narrows to the tip: 1 straight, 3 late.
    dents
        How uneven it is, mm.
    nerves
        Number of nerves, common practice: 5-7 in a lemma, 3-5 in a glume, 2 in a palea.
    skew
        How far the tip stands to one side, mm.
    """

    length_mm: float
    width_mm: float
    depth_mm: float
    wrap: float
    fullest: float = 0.42
    foot: float = 0.42
    tip: float = 0.1
    bow_mm: float = 0.6
    keel: float = 0.1
    open_angle: float = 0.0
    curl: float = 0.0
    blunt: float = 1.8
    dents: float = 0.1
    nerves: int = 7
    skew: float = 0.0


def moved_cut(cut: Cut, old: Frame, new: Frame) -> Cut:
    """Return a cut given in one frame as seen in another."""
    point = new.find(old.place(cut.point[None]))[0]
    return Cut(point, new.axes @ old.turn(cut.normal), cut.ragged_mm)


def lemma_sheet(
    form: HullForm, cut: Cut | None, rng: np.random.Generator, shape: tuple[int, int]
) -> Sheet:
    """Return a boat-like sheet whose back looks outwards; glumes are such sheets too."""
    across = np.linspace(-1, 1, shape[1], dtype=np.float32)
    nerves = np.linspace(-0.74, 0.74, form.nerves) + rng.normal(0, 0.025, form.nerves)
    dents = form.dents * cloud(rng, (_FINE_ROWS, shape[1]), (7, 5)) + _ridges(across, nerves, rng)
    return _gridded(lambda t: _boat(form, t, across, dents), (across, nerves), cut, rng, shape)


def palea_sheet(
    form: HullForm, cut: Cut | None, rng: np.random.Generator, shape: tuple[int, int]
) -> Sheet:
    """Return the two-keeled sheet that closes the boat at its inner side."""
    across = np.linspace(-1, 1, shape[1], dtype=np.float32)
    nerves = np.array([-0.62, 0.62]) + rng.normal(0, 0.02, 2)
    dents = form.dents * cloud(rng, (_FINE_ROWS, shape[1]), (6, 4))
    return _gridded(lambda t: _two_keels(form, t, across, dents), (across, nerves), cut, rng, shape)


def _ridges(across: Floats, nerves: Floats, rng: np.random.Generator) -> Floats:
    """Return how far nerves and finer lines stand up, mm: hardly, hulls are nearly smooth."""
    away = np.abs(across[:, None] - nerves).min(axis=1)
    high, fine = rng.uniform(0.0, 0.05), rng.uniform(0.004, 0.014)
    result: Floats = (high * np.exp(-((away / 0.06) ** 2)) + rng.normal(0, fine, len(across)))[None]
    return result


def _taper(form: HullForm, t: Floats) -> Floats:
    """Return the width along the sheet as a share of the greatest."""
    rise = form.foot + (1 - form.foot) * np.sin(0.5 * np.pi * np.clip(t / form.fullest, 0, 1))
    fall = np.clip((t - form.fullest) / (1 - form.fullest), 0, 1)
    result: Floats = rise * (
        form.tip + (1 - form.tip) * np.clip(1 - fall**form.blunt, 0, 1) ** 0.75
    )
    return result


def _boat(form: HullForm, t: Floats, across: Floats, dents: Floats) -> Floats:
    size = _taper(form, t)[:, None]
    angle = form.wrap * across[None]
    half = form.width_mm / 2
    x = half * size * np.sin(angle) / max(np.sin(min(form.wrap, np.pi / 2)), 0.3)
    ridge = form.keel * (1 - np.abs(across[None])) ** 2
    y = form.depth_mm * size * (np.cos(angle) + 0.35 * ridge)
    rows = t[:, None]
    y = y - form.bow_mm * rows**3 + form.length_mm * rows * np.tan(form.open_angle)
    y = y + dents * size
    roll = form.curl * np.clip(rows - 0.35, 0, 1) ** 2 * np.abs(across[None]) ** 4
    x = x + np.sign(across[None]) * roll * 1.2 + form.skew * rows**3
    y = y + roll * 0.9
    return np.stack([x, y, np.broadcast_to(form.length_mm * rows, x.shape)], axis=-1)


def _two_keels(form: HullForm, t: Floats, across: Floats, dents: Floats) -> Floats:
    size = _taper(form, t)[:, None]
    side, keel_at = np.abs(across[None]), 0.62
    half = form.width_mm / 2
    flank = np.clip((side - keel_at) / (1 - keel_at), 0, 1)
    x = np.sign(across[None]) * half * size * (np.clip(side / keel_at, 0, 1) - 0.12 * flank)
    floor = form.keel * np.cos(0.5 * np.pi * np.clip(side / keel_at, 0, 1))
    y = size * form.depth_mm * (-0.45 + 0.5 * floor + flank)
    rows = t[:, None]
    y = y + form.bow_mm * rows**3 - form.length_mm * rows * np.tan(form.open_angle) + dents
    x = x + form.skew * rows**3
    return np.stack([x, y, np.broadcast_to(form.length_mm * rows, x.shape)], axis=-1)


def _gridded(
    surface: Callable[[Floats], Floats],
    lines: tuple[Floats, Floats],
    cut: Cut | None,
    rng: np.random.Generator,
    shape: tuple[int, int],
) -> Sheet:
    """Return a surface from its foot to where it is cut, in evenly spaced rows."""
    fine = np.linspace(0, 1, _FINE_ROWS, dtype=np.float32)
    points = surface(fine)
    ends = np.ones(shape[1], np.float32) if cut is None else _cut_at(points, cut, rng)
    along = np.linspace(0, 1, shape[0], dtype=np.float32)[:, None] * ends[None]
    place = along * (_FINE_ROWS - 1)
    low = np.minimum(place.astype(np.int32), _FINE_ROWS - 2)
    share = (place - low)[..., None]
    column = np.broadcast_to(np.arange(shape[1]), low.shape)
    rows = points[low, column] * (1 - share) + points[low + 1, column] * share
    return Sheet(rows.astype(np.float32), along, lines[0], ends, lines[1])


def _cut_at(points: Floats, cut: Cut, rng: np.random.Generator) -> Floats:
    """Return where along each column the plane is first crossed, with a ragged edge."""
    columns = points.shape[1]
    ragged = 0.6 * wave(rng, columns, 6) + 0.4 * wave(rng, columns, max(columns // 2, 4))
    if rng.random() < _FLAP_SHARE:  # a lobe that the blades missed
        place, wide = rng.integers(columns), rng.uniform(0.06, 0.2) * columns
        ragged = ragged - rng.uniform(2, 8) * np.exp(-(((np.arange(columns) - place) / wide) ** 4))
    beyond = (points - cut.point) @ cut.normal + cut.ragged_mm * ragged[None]
    crossed = np.maximum.accumulate(beyond > 0, axis=0)
    first = np.argmax(crossed, axis=0)
    before = np.maximum(first - 1, 0)
    column = np.arange(columns)
    step = beyond[first, column] - beyond[before, column]
    part = np.clip(-beyond[before, column] / np.where(step == 0, 1, step), 0, 1)
    place = np.where(crossed[-1], before + part, points.shape[0] - 1)
    result: Floats = np.clip(place / (points.shape[0] - 1), 0.12, 1).astype(np.float32)
    return result
