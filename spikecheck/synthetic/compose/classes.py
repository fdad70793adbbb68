"""What each pixel of a photo shows: the classes of its class map, and who owns a pixel."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.synthetic.solid.part import OrganKind
from spikecheck.vocabulary import AntherStage

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from spikecheck.synthetic.arrays import Bytes
    from spikecheck.synthetic.solid.part import Organ

BACKGROUND, SPIKE, THING = 0, 1, 2
ANTHER_CLASS: dict[AntherStage, int] = {
    AntherStage.GREEN: 3, AntherStage.YELLOW: 4, AntherStage.DEHISCED: 5,
}  # fmt: skip

# Owners above every organ index of a layer: what the composition itself puts there.
STUCK_ON = 65534  # a scrap or dust that clings to the spike and is counted as spike
OVER = 65535  # something that lies over or beside the spike

_THINGS = frozenset({
    OrganKind.FLAG_LEAF, OrganKind.HAND, OrganKind.FORCEPS, OrganKind.TAG, OrganKind.APHID,
    OrganKind.OTHER,
})  # fmt: skip
# What the spike's outline is drawn around: no stem, no awns, nothing that lies on it.
BODY = frozenset({
    OrganKind.RACHIS, OrganKind.GLUME, OrganKind.LEMMA, OrganKind.PALEA, OrganKind.OVARY,
    OrganKind.STIGMA,
})  # fmt: skip


def class_of(organ: Organ) -> int:
    """Return the class of an organ; the stem below the spike is background."""
    if organ.stage is not None:
        return ANTHER_CLASS[organ.stage]
    if organ.kind in _THINGS:
        return THING
    return BACKGROUND if organ.kind is OrganKind.PEDUNCLE else SPIKE


def class_table(organs: Iterable[Organ]) -> NDArray[np.uint8]:
    """Return the class of every owner, an array of 65536."""
    table = np.zeros(65536, np.uint8)
    for organ in organs:
        table[organ.index] = class_of(organ)
    table[STUCK_ON], table[OVER] = SPIKE, THING
    return table


def body_table(organs: Iterable[Organ]) -> NDArray[np.bool_]:
    """Return whether each owner is the body of the spike or an anther on it."""
    table = np.zeros(65536, bool)
    for organ in organs:
        table[organ.index] = organ.kind in BODY or organ.kind is OrganKind.ANTHER
    table[STUCK_ON] = True
    return table


def classes_of(owner: NDArray[np.uint16], table: NDArray[np.uint8]) -> Bytes:
    """Return the class map, uint8 of the same shape, of a map of owners."""
    return np.asarray(table[owner], np.uint8)
