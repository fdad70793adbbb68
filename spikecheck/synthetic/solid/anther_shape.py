"""Anthers: two lobes of two pollen sacs each, in every stage, whole or torn."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import jittered, linear, mixed
from spikecheck.synthetic.randomness import chance
from spikecheck.synthetic.solid.mesh import Mesh, grid_faces, hairs, joined
from spikecheck.synthetic.solid.waves import cloud, mottled, wave
from spikecheck.vocabulary import AntherStage

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.solid.look import PlantLook

_ROWS, _SIDES = 36, 28
_LEAST_MM, _MOST_MM = 1.8, 3.5  # whole, at the stage of emasculation: common practice


@dataclass(frozen=True, slots=True)
class AntherPlan:
    """An anther before it is built.

    Parameters
    ----------
    stage, near_anthesis
        By its look; yellow-green ones are green and near anthesis.
    length_mm, width_mm
        Of the whole anther.
    kept
        Share of the length that is left: 1 when it is whole.
    purple
        How reddish it is, 0..1.
    colour_name
        ``green``, ``yellow_green``, ``yellow``, ``pale`` or ``purple``.
    """

    stage: AntherStage
    near_anthesis: bool
    length_mm: float
    width_mm: float
    kept: float
    purple: float
    colour_name: str

    @property
    def broken(self) -> bool:
        """Whether only a piece is left."""
        return self.kept < 1

    @property
    def piece_mm(self) -> float:
        """Length of what is left."""
        return self.length_mm * self.kept


def draw_anther(
    rng: np.random.Generator,
    look: PlantLook,
    shares: tuple[float, float, float, float],
    *,
    broken: bool,
) -> AntherPlan:
    """Return an anther of this plant.

    Parameters
    ----------
    rng
        Random stream.
    look
        The plant: anthers of one plant are about alike in length (Atashi-Rang and Lucken 1977).
    shares
        How likely green, yellow-green, yellow and dehisced are; they sum to 1.
    broken
        Whether it is a torn piece.
    """
    name = str(rng.choice(["green", "yellow_green", "yellow", "pale"], p=shares))
    stage = {"yellow": AntherStage.YELLOW, "pale": AntherStage.DEHISCED}.get(
        name, AntherStage.GREEN
    )
    length = float(np.clip(look.anther_mm * rng.normal(1.0, 0.05), _LEAST_MM, _MOST_MM))
    purple = float(rng.uniform(0.4, 1.0)) if look.purple_anthers else 0.0
    return AntherPlan(
        stage=stage,
        near_anthesis=name != "green",
        length_mm=length,
        width_mm=float(np.clip(length * rng.uniform(0.24, 0.34), 0.6, 1.0)),
        kept=float(rng.uniform(0.25, 0.75)) if broken else 1.0,
        purple=purple,
        colour_name="purple" if purple > 0 else name,
    )


def anther_mesh(plan: AntherPlan, rng: np.random.Generator) -> Mesh:
    """Return an anther along the third axis of its own frame, its middle at the origin.

    The first axis runs across both lobes, the second from front to back; the filament meets the
    lower third of the back.
    """
    spent = plan.stage is AntherStage.DEHISCED
    share = np.linspace(-1, 1, _ROWS)
    kept = np.linspace(-1, -1 + 2 * plan.kept, _ROWS) if plan.broken else share
    turn = np.linspace(0, 2 * np.pi, _SIDES, endpoint=False)
    section = _section(plan, kept, turn, rng)
    x = section * np.cos(turn)[None] * plan.width_mm / 2
    thick = plan.width_mm * (rng.uniform(0.2, 0.3) if spent else rng.uniform(0.36, 0.45))
    y = section * np.sin(turn)[None] * thick
    apart = np.clip(np.abs(kept) - 0.38, 0, 1)[:, None] ** 1.4
    x = x + np.sign(np.cos(turn))[None] * apart * plan.width_mm * rng.uniform(0.1, 0.55)
    z = np.repeat((share * plan.piece_mm / 2)[:, None], _SIDES, axis=1)
    horn = np.clip(np.abs(np.cos(turn)), 0.3, 1)[None] ** 0.5
    z = z * (1 - (1 - horn) * 0.35 * apart)
    if plan.broken:
        z[-4:] += 0.16 * cloud(rng, (4, _SIDES), (2, 9))
    points = np.stack([x, y, z], axis=-1)
    points = _shaped(points, rng, 1.0 if spent else 0.25)
    colours = _colours(plan, kept, turn, rng)
    body = Mesh(
        points.reshape(-1, 3).astype(np.float32),
        grid_faces(_ROWS, _SIDES, closed=True),
        colours.reshape(-1, 3).astype(np.float32),
    )
    if plan.near_anthesis and (plan.broken or spent or chance(rng, 0.3)):
        return joined([body, _pollen(points, rng, int(rng.integers(10, 120)))])
    return body


def _section(plan: AntherPlan, kept: Floats, turn: Floats, rng: np.random.Generator) -> Floats:
    """Return the radius of the section as a share of the greatest: furrows, rounded ends."""
    spent = plan.stage is AntherStage.DEHISCED

    def near(centre: float, width: float) -> Floats:
        away = np.abs((turn - centre + np.pi) % (2 * np.pi) - np.pi)
        result: Floats = np.exp(-((away / width) ** 2))
        return result

    between_lobes = near(np.pi / 2, 0.42) + near(-np.pi / 2, 0.34) * 0.8
    between_sacs = near(0, 0.3) + near(np.pi, 0.3)
    deep = rng.uniform(0.38, 0.56) + 0.4 * np.clip((np.abs(kept) - 0.5) / 0.4, 0, 1)
    slit_from_top = np.clip((kept + 0.2) / 0.3, 0, 1) if spent else np.zeros(len(kept))
    shallow = rng.uniform(0.1, 0.22) + slit_from_top * rng.uniform(0.2, 0.5)
    ends = np.sqrt(np.clip(1 - np.abs(kept) ** rng.uniform(3.5, 7), 0.0, 1))
    if plan.broken:
        ends = np.where(kept > kept[-1] - 0.06, ends * 0.75, ends)
    waist = 1 - rng.uniform(0, 0.12) * np.exp(-((kept / 0.4) ** 2)) + 0.05 * wave(rng, len(kept), 6)
    radius = 1 - deep[:, None] * between_lobes[None] - np.outer(shallow, between_sacs)
    result: Floats = np.clip(radius, 0.06, 1.1) * (ends * waist)[:, None]
    return result


def _shaped(points: Floats, rng: np.random.Generator, amount: float) -> Floats:
    """Return the anther bent and twisted, spent ones more."""
    x, y, z = points[..., 0], points[..., 1], points[..., 2]
    twist = rng.normal(0, 0.5) * amount * z
    c, s = np.cos(twist), np.sin(twist)
    x, y = c * x - s * y, s * x + c * y
    bow = np.clip(rng.normal(0, 0.16, 2), -0.24, 0.24) * amount * 1.2
    x, y = x + bow[0] * z**2, y + bow[1] * z**2
    dents = 0.05 * amount * cloud(rng, x.shape, (9, 7))
    return np.stack([x + dents, y + dents, z], axis=-1)


def _colours(plan: AntherPlan, kept: Floats, turn: Floats, rng: np.random.Generator) -> Floats:
    """Return linear RGB of the body; sRGB ranges by eye, own choice.

    The order translucent pale green, green, yellow-green, yellow, pale is common practice.
    """
    shape = (len(kept), len(turn))
    tones = {
        "green": (
            (184, 202, 112),
            (196, 210, 134),
            (170, 192, 94),
            (154, 180, 88),
            (206, 216, 158),
            (190, 202, 104),
        ),
        "yellow_green": ((190, 196, 110), (202, 204, 122), (180, 186, 96)),
        "yellow": ((226, 208, 104), (214, 190, 84), (234, 220, 132), (208, 188, 104)),
        "pale": ((232, 222, 176), (222, 208, 150), (240, 234, 206), (206, 188, 130)),
    }
    step = {AntherStage.YELLOW: "yellow", AntherStage.DEHISCED: "pale"}.get(
        plan.stage, "yellow_green" if plan.near_anthesis else "green"
    )
    choice = tones[step]
    tone = jittered(rng, choice[int(rng.integers(len(choice)))], 9)
    tone = mixed(tone, np.full(3, tone.mean()), rng.uniform(0.0, 0.15))
    body = np.broadcast_to(tone, (*shape, 3)) * (1 + 0.1 * mottled(rng, shape, (6, 5)))[..., None]
    seam = np.exp(-((np.abs(np.abs(np.sin(turn)) - 1) / 0.07) ** 2))[None] * rng.uniform(0.2, 0.6)
    middle = mixed(tone, linear((120, 140, 70)), 0.5) * 0.6
    body = mixed(body, middle, np.broadcast_to(seam, shape))
    if plan.purple > 0:
        flush = plan.purple * np.clip(0.75 + 0.4 * mottled(rng, shape, (5, 4)), 0, 1)
        if plan.stage is AntherStage.DEHISCED:
            flush = flush * 0.4
        body = mixed(body, jittered(rng, (132, 38, 66), 12), flush)
    if plan.stage is AntherStage.DEHISCED:
        brown = np.clip(cloud(rng, shape, (5, 5)) - 0.35, 0, 1) * rng.uniform(0, 1.2)
        body = mixed(body, linear((150, 116, 66)), brown)
    ends = np.clip((np.abs(kept) - 0.8) / 0.2, 0, 1)[:, None] * rng.uniform(-0.12, 0.12)
    return np.clip(body * (1 + ends)[..., None], 0.01, 0.95).astype(np.float32)


def _pollen(points: Floats, rng: np.random.Generator, count: int) -> Mesh:
    """Return grains on an anther: about 0.05 mm across (common practice)."""
    flat = points.reshape(-1, 3)
    roots = flat[rng.integers(0, len(flat), count)] + rng.normal(0, 0.03, (count, 3))
    tips = roots + rng.normal(0, 0.04, (count, 3))
    return hairs(roots, tips, 0.03, linear((244, 232, 160)))
