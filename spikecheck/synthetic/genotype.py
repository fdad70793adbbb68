"""What all organs of one invented line share: colours, wax, awns, size."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.synthetic.colour import jittered
from spikecheck.synthetic.randomness import chance

if TYPE_CHECKING:
    import numpy as np

    from spikecheck.synthetic.arrays import Floats


@dataclass(frozen=True, slots=True, eq=False)
class Genotype:
    """The look of a line at heading.

    Parameters
    ----------
    green, vein, base, papery, bloom, stem
        Linear RGB of the lemma, its nerves, its shaded foot, dry margins, wax and stem.
    bloom_share, purple_share, papery_share
        How much wax, anthocyanin and dry margin there is, 0..1.
    awned
        Whether the lemmas bear awns (cut to stubs in preparation).
    floret_mm, width_mm
        Typical length and width of a lemma, mm.
    anther_mm
        Typical length of an anther, mm: alike within a line.
    """

    green: Floats
    vein: Floats
    base: Floats
    papery: Floats
    bloom: Floats
    stem: Floats
    bloom_share: float
    purple_share: float
    papery_share: float
    awned: bool
    floret_mm: float
    width_mm: float
    anther_mm: float


def draw_genotype(rng: np.random.Generator) -> Genotype:
    """Return a line at random.

    Sizes: lemma 8-11 mm by 3-4 mm; anthers 1.8-4.5 mm, alike within a spike (Atashi-Rang and
    Lucken 1977, Crop Science 17); colours follow photos of green spikes at flowering.
    """
    greens = ((118, 146, 66), (132, 154, 78), (104, 138, 74), (146, 160, 82), (122, 148, 84))
    green = greens[int(rng.integers(len(greens)))]
    return Genotype(
        green=jittered(rng, green, 8),
        vein=jittered(rng, (62, 102, 44), 7),
        base=jittered(rng, (158, 172, 86), 8),
        papery=jittered(rng, (222, 220, 188), 6),
        bloom=jittered(rng, (176, 190, 158), 6),
        stem=jittered(rng, (136, 158, 104), 8),
        bloom_share=float(rng.beta(1.6, 2.2)),
        purple_share=float(rng.uniform(0.2, 0.8)) if chance(rng, 0.15) else 0.0,
        papery_share=float(rng.uniform(0.2, 1.0)),
        awned=chance(rng, 0.45),
        floret_mm=float(rng.uniform(8.4, 10.6)),
        width_mm=float(rng.uniform(3.3, 4.0)),
        anther_mm=float(rng.uniform(2.2, 4.0)),
    )
