"""What a scene is put together from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.synthetic.compose.ambience import Ambience
    from spikecheck.synthetic.compose.backgrounds.backdrop import Backdrop
    from spikecheck.synthetic.compose.laid import Laid
    from spikecheck.synthetic.compose.placing import Placement
    from spikecheck.synthetic.solid.layers import Layers


@dataclass(frozen=True, slots=True, eq=False)
class Stage:
    """What a scene is put together from."""

    layers: Sequence[Layers]
    laid: Laid
    backdrop: Backdrop
    ambience: Ambience
    placement: Placement
    px_per_mm: float
    background: str
    strewn: bool = True
    """Whether anything may lie on or beside the spike."""
    littered: bool = False
    """Whether many look-alikes of anthers lie on it."""
