"""What one render leaves: colour without background, coverage, organ ids, depth and a record.

A fast second stage makes many photos of each (:mod:`spikecheck.synthetic.compose`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.errors import RenderError

if TYPE_CHECKING:
    from collections.abc import Mapping

    import numpy as np
    from numpy.typing import NDArray

    from spikecheck.synthetic.solid.part import Organ
    from spikecheck.vocabulary import AntherStage, Box, Point, Side


@dataclass(frozen=True, slots=True)
class LayerFloret:
    """A floret that faces the camera.

    Parameters
    ----------
    id
        Letter of the side and number from base to tip among the florets facing the camera.
    centre
        Middle of the cut opening (clipped) or of its visible organs (not clipped), px.
    box
        Extent of its visible hull (lemma, palea, glume, awn), px.
    side
        Side of the axis.
    position
        Place along the spike, 0 base, 1 tip.
    clipped
        Whether its top is cut.
    cavity_visible
        Share of the opening's pixels in which the front-most organ is the floret's own; 0 when
        the opening faces away.
    opening
        The rim of the opening, px; empty when it has none.
    organs
        Indices of its organs.
    """

    id: str
    centre: Point
    box: Box
    side: Side
    position: float
    clipped: bool
    cavity_visible: float
    opening: tuple[Point, ...]
    organs: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class LayerAnther:
    """An anther of the plant, seen or not.

    Parameters
    ----------
    organ
        Its index.
    floret
        Id of the floret it belongs to; None when that floret faces away or there is none.
    stage, near_anthesis, broken, length_mm
        As in :class:`~spikecheck.vocabulary.anther.Anther`; the full length.
    visible_px, whole_px
        Pixels it shows in, and would show in if only it were there.
    centre, box
        Of its visible pixels; None when it does not show.
    """

    organ: int
    floret: str | None
    stage: AntherStage
    near_anthesis: bool
    broken: bool
    length_mm: float
    visible_px: int
    whole_px: int
    centre: Point | None
    box: Box | None


@dataclass(frozen=True, slots=True)
class LayerRecord:
    """The truth of one render.

    Parameters
    ----------
    seed
        What it was drawn from.
    state
        State of the spike: prepared, partly, heading or anthesis.
    px_per_mm
        Scale in the plane of the axis.
    families
        Family of each kind: plant, pose, light, surround, prop.
    axis
        The spike's axis from base to tip, px.
    organs
        Every organ; its index is the id in the organ picture.
    florets
        Those facing the camera.
    anthers
        All.
    """

    seed: int
    state: str
    px_per_mm: float
    families: Mapping[str, str]
    axis: tuple[Point, ...]
    organs: tuple[Organ, ...]
    florets: tuple[LayerFloret, ...]
    anthers: tuple[LayerAnther, ...]


@dataclass(frozen=True, slots=True)
class Layers:
    """One render.

    Parameters
    ----------
    radiance
        Linear sRGB light, float16 of shape (H, W, 3), already multiplied by the coverage (over
        black); the spike's mean is about 0.2.
    alpha
        Coverage, uint8 of shape (H, W), 255 where nothing of the background shows.
    organ
        Index of the front-most organ at each pixel's centre, uint16 of shape (H, W), 0 nothing.
    depth_mm
        Height towards the camera over the plane of the axis, float16 of shape (H, W), 0 where
        there is nothing.
    record
        The truth.

    Raises
    ------
    RenderError
        If the sizes differ.
    """

    radiance: NDArray[np.float16]
    alpha: NDArray[np.uint8]
    organ: NDArray[np.uint16]
    depth_mm: NDArray[np.float16]
    record: LayerRecord

    def __post_init__(self) -> None:
        size = self.alpha.shape
        if not (
            self.radiance.shape == (*size, 3) and self.organ.shape == self.depth_mm.shape == size
        ):
            raise RenderError(
                f"layers of one size expected, got {self.radiance.shape}, {size}, "
                f"{self.organ.shape} and {self.depth_mm.shape}"
            )
