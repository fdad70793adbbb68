"""Colours of lemma, palea and glume: nerves, pale foot, dry margins, wax, spots, cut edge."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.colour import linear, mixed
from spikecheck.synthetic.solid.waves import cloud, mottled

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Floats
    from spikecheck.synthetic.solid.hull_shape import Sheet
    from spikecheck.synthetic.solid.look import PlantLook


@dataclass(frozen=True, slots=True)
class SkinKind:
    """How one kind of sheet differs from the plant's green.

    Parameters
    ----------
    paleness
        How much of the plant's paleness it has between the nerves, and how much more than that.
    margin
        Width of the dry margin as a share of the half width.
    """

    paleness: tuple[float, float]
    margin: float


LEMMA = SkinKind((1.0, 0.0), 0.1)
PALEA = SkinKind((0.5, 0.45), 0.2)
GLUME = SkinKind((0.6, 0.0), 0.16)


def sheet_colours(
    sheet: Sheet, kind: SkinKind, look: PlantLook, rng: np.random.Generator, *, length_mm: float
) -> Floats:
    """Return linear RGB of each point of a sheet, shape (R, C, 3)."""
    shape = sheet.along.shape
    side = np.abs(sheet.across)[None]
    rough = mottled(rng, shape, (7, 5))
    pale = kind.paleness[0] * look.paleness + kind.paleness[1] + rng.normal(0, 0.2)
    foot = np.clip(1 - sheet.along / rng.uniform(0.22, 0.5), 0, 1)
    window = np.clip(
        (1.5 * look.window + rng.normal(0, 0.25)) * (1 - side) ** 1.3 + 0.25 * rough, 0, 1
    )
    body = mixed(look.green, look.pale, np.clip(np.maximum(foot, pale + window * 0.8), 0, 1))
    body = (
        body
        * (1 + 0.13 * rough + rng.uniform(0.03, 0.12) * cloud(rng, shape, (3, shape[1])))[..., None]
    )
    # Each hull is a little yellower or bluer than the next, hardly ever redder.
    body = body * rng.uniform(0.82, 1.18) * np.exp(rng.normal((-0.02, 0, -0.08), (0.05, 0.0, 0.1)))
    # Thin places between the nerves let light through and look whitish.
    glassy = np.clip(window + 0.5 * rough - rng.uniform(0.5, 0.9), 0, 1) * rng.uniform(0.2, 0.8)
    body = mixed(body, look.papery, glassy * np.clip((sheet.along - 0.2) / 0.3, 0, 1))
    nerves = _nerves(sheet, rng)
    body = mixed(body, look.vein, nerves * look.vein_strength * rng.uniform(0.5, 1.0))
    body = _coloured(body, sheet, look, rng, nerves + rough)
    margin = kind.margin * rng.uniform(0.4, 1.6) * (0.4 + sheet.along) * (1 + 0.5 * rough)
    papery = np.clip((side - 1 + margin) / np.maximum(margin, 1e-3) * 2, 0, 1)
    body = mixed(body, look.papery, papery * rng.uniform(0.35, 1.0))
    body = _spotted(body, sheet, look, rng)
    return _cut_edge(body, sheet, look, rng, length_mm)


def _nerves(sheet: Sheet, rng: np.random.Generator) -> Floats:
    """Return how much each point lies on a nerve, 0..1."""
    places, count = sheet.nerves, len(sheet.nerves)
    width = rng.uniform(0.016, 0.05)
    distance = sheet.across[None, :, None] - places
    strength = rng.uniform(0.4, 1, count) * np.where(np.abs(places) < 0.05, 1.3, 1)  # noqa: PLR2004
    lines = (np.exp(-((distance / width) ** 2)) * strength).sum(axis=-1)
    result: Floats = (lines * np.clip(sheet.along / 0.25, 0.15, 1)).clip(0, 1).astype(np.float32)
    return result


def _coloured(
    body: Floats, sheet: Sheet, look: PlantLook, rng: np.random.Generator, where: Floats
) -> Floats:
    """Return the sheet with wax, anthocyanin and a dried top."""
    shape = sheet.along.shape
    bloom = look.wax * np.clip(0.55 + 0.5 * mottled(rng, shape, (6, 6)), 0, 1)
    body = mixed(body, look.bloom, bloom * rng.uniform(0.35, 0.75))
    flush = look.anthocyanin * np.clip(
        rng.uniform(-0.3, 0.6) + 0.5 * where + 0.6 * (sheet.along - 0.4), 0, 1
    )
    body = mixed(body, look.purple, flush)
    reach = look.dry * rng.uniform(0.05, 0.5)
    dried = np.clip((sheet.along - (1 - reach) + 0.1 * where) / 0.12, 0, 1)
    return mixed(body, look.straw, dried * min(1, 2 * look.dry))


def _spotted(body: Floats, sheet: Sheet, look: PlantLook, rng: np.random.Generator) -> Floats:
    """Return the sheet with brown, pale or yellow spots where it was bruised."""
    for _ in range(rng.poisson(2.2 * look.dirt)):
        place = rng.uniform([0.15, -0.9], [1, 0.9])
        size = rng.uniform(0.015, 0.09) * np.array([1, rng.uniform(1, 3)])
        away = ((sheet.along - place[0]) / size[0]) ** 2
        away = away + ((sheet.across[None] - place[1]) / size[1]) ** 2
        colour = linear([(96, 72, 42), (190, 174, 116), (214, 208, 170)][rng.integers(3)])
        body = mixed(body, colour, np.exp(-away) * rng.uniform(0.3, 0.95))
    return body


def _cut_edge(
    body: Floats, sheet: Sheet, look: PlantLook, rng: np.random.Generator, length_mm: float
) -> Floats:
    """Return the sheet with a dried line along the cut."""
    from_edge_mm = (sheet.cut[None] - sheet.along) * length_mm
    width = rng.uniform(0.05, 0.35) * (1 + 0.5 * cloud(rng, sheet.along.shape, (2, 7)))
    line = np.exp(-from_edge_mm / np.maximum(width, 0.02)) * (sheet.cut[None] < 1)
    return np.clip(mixed(body, look.cut, line * rng.uniform(0.05, 0.9)), 0.004, 0.95)
