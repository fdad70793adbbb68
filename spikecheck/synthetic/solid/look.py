"""What all organs of one invented plant share: colours, wax, awns, sizes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.synthetic.colour import jittered, linear, mixed
from spikecheck.synthetic.randomness import chance

if TYPE_CHECKING:
    import numpy as np

    from spikecheck.synthetic.arrays import Floats

# Colours, sRGB 0..255, read by eye off photos of green spikes: own choice.
_GREENS = (
    (138, 156, 80),
    (150, 164, 92),
    (124, 148, 84),
    (166, 174, 100),
    (142, 160, 104),
    (170, 176, 92),
    (116, 138, 78),
    (156, 162, 112),
    (180, 182, 108),
    (128, 144, 66),
    (172, 178, 94),
)
_GREENEST = 1.15  # least green over red, linear: own choice
_PURPLE = (98, 40, 76)
_STRAW = (212, 198, 154)


@dataclass(frozen=True, slots=True, eq=False)
class PlantLook:
    """Look and sizes of one plant.

    Parameters
    ----------
    green, pale, vein, papery, bloom, purple, straw, stem, cut
        Linear RGB of the lemma, of its foot and the palea, of nerves, dry margins, wax,
        anthocyanin, dried tips, rachis and stem, and of edges cut some hours ago.
    wax, anthocyanin, dry, hairiness
        How much of each there is, 0..1.
    vein_strength, paleness, window
        How much nerves stand out, how pale the lemma is between them, and how much paler its
        middle is than its flanks, 0..1.
    awned
        Whether lemmas bear awns.
    purple_anthers
        Whether unripe anthers are reddish.
    floret_mm, width_mm, anther_mm, internode_mm, awn_mm
        Typical sizes of this plant, mm.
    dirt
        How much dust and damage it has taken, 0..1.
    """

    green: Floats
    pale: Floats
    vein: Floats
    papery: Floats
    bloom: Floats
    purple: Floats
    straw: Floats
    stem: Floats
    cut: Floats
    wax: float
    anthocyanin: float
    dry: float
    hairiness: float
    vein_strength: float
    paleness: float
    window: float
    awned: bool
    purple_anthers: bool
    floret_mm: float
    width_mm: float
    anther_mm: float
    internode_mm: float
    awn_mm: float
    dirt: float


def draw_look(family: str, rng: np.random.Generator) -> PlantLook:
    """Return the look of a plant of a family.

    Sizes: lemma 8-11 by 3-4 mm; anthers 1.8-3.5 mm at the stage of emasculation, alike within a
    spike (Atashi-Rang and Lucken 1977, Crop Science 17); internodes 3.4-5.5 mm, from spikes of
    7-12 cm with 18-24 spikelets; awns 40-90 mm is common practice.
    """
    green = jittered(rng, _GREENS[int(rng.integers(len(_GREENS)))], 7)
    if family == "waxy":
        green = mixed(green, linear((132, 154, 120)), rng.uniform(0.1, 0.5))
    # Before ripening a hull sends back more green than red; without this, jitter makes some brown.
    green[1] = max(green[1], _GREENEST * green[0])
    pale = mixed(green, jittered(rng, (212, 220, 150), 6), rng.uniform(0.3, 0.85))
    return PlantLook(
        green=green,
        pale=pale,
        vein=mixed(green, jittered(rng, (74, 112, 48), 8), rng.uniform(0.4, 0.9)),
        papery=jittered(rng, (226, 222, 190), 9),
        bloom=jittered(rng, (190, 204, 186), 7),
        purple=jittered(rng, _PURPLE, 10),
        straw=jittered(rng, _STRAW, 12),
        stem=mixed(green, jittered(rng, (168, 184, 120), 9), rng.uniform(0.2, 0.8)),
        cut=jittered(rng, (176, 154, 104) if chance(rng, 0.35) else (218, 220, 180), 12),
        wax=rng.uniform(0.45, 0.95) if family == "waxy" else rng.beta(1.2, 5.0) * 0.5,
        anthocyanin=rng.uniform(0.35, 1.0) if family == "purple" else 0.08 * rng.random() ** 2,
        dry=rng.uniform(0.45, 1.0) if family == "straw_tipped" else 0.4 * rng.random() ** 2,
        hairiness=rng.uniform(0.45, 1.0) if family == "hairy" else 0.0,
        vein_strength=rng.uniform(0.25, 0.95),
        paleness=rng.uniform(0.0, 0.7),
        window=rng.beta(1.5, 1.3),
        awned=family == "awned_green" or (family != "awnless_green" and chance(rng, 0.4)),
        purple_anthers=family == "purple" and chance(rng, 0.75),
        floret_mm=rng.uniform(8.8, 10.6),
        width_mm=rng.uniform(3.5, 4.3),
        anther_mm=rng.uniform(2.0, 3.3),
        internode_mm=rng.uniform(3.4, 4.6),
        awn_mm=rng.uniform(42, 80),
        dirt=rng.beta(1.2, 2.2),
    )
