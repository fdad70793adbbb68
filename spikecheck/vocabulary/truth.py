"""What is really in a photo: drawn by the generator or marked by a person.

A truth file stands beside its image under the same name with the ending ``.json`` and speaks x, y
like the result contract. Only ``image``, ``width``, ``height`` and ``anthers`` with ``x`` and
``y`` are required, so that points marked by hand on a real photo are truth too.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from spikecheck.vocabulary.anther import AntherStage
    from spikecheck.vocabulary.floret import Side
    from spikecheck.vocabulary.geometry import Box, Point
    from spikecheck.vocabulary.quality import QualityProblem
    from spikecheck.vocabulary.verdict import Verdict

TRUTH_SCHEMA = "spikecheck.truth/1"


@dataclass(frozen=True, slots=True)
class TrueAnther:
    """An anther that is really there; None where nobody recorded it.

    Parameters
    ----------
    centre
        Middle of the visible part, or the marked point.
    box
        Extent of the visible part.
    floret
        Id of the floret it sits in or hangs from; None when outside or unknown.
    stage, near_anthesis, broken
        As in :class:`~spikecheck.vocabulary.anther.Anther`.
    length_mm
        Full length, hidden part included, mm.
    visible_share
        Share of its area that shows, 0..1.
    visible_area_mm2
        Area that shows, mm².
    """

    centre: Point
    box: Box | None = None
    floret: str | None = None
    stage: AntherStage | None = None
    near_anthesis: bool | None = None
    broken: bool | None = None
    length_mm: float | None = None
    visible_share: float | None = None
    visible_area_mm2: float | None = None


@dataclass(frozen=True, slots=True)
class TrueFloret:
    """A floret that is really there and faces the camera.

    Parameters
    ----------
    id, centre, box, side, position, clipped
        As in :class:`~spikecheck.vocabulary.floret.Floret`.
    cavity_visible
        Share of the opening that can be looked into, 0..1.
    """

    id: str
    centre: Point
    box: Box
    side: Side
    position: float
    clipped: bool
    cavity_visible: float


@dataclass(frozen=True, slots=True)
class PhotoTruth:
    """Everything known of one image.

    Parameters
    ----------
    image
        Name of the image file.
    width, height
        Its size, px.
    anthers
        The leftover anthers.
    complete
        Whether every visible anther is listed; when not, no precision is computed.
    florets
        The florets facing the camera, or None when not marked.
    verdict
        The right verdict, or None when not known.
    problems
        The right photo problems, or None when not known.
    px_per_mm
        True scale, or None.
    outline, axis
        The spike's outline and its axis from base to tip, or None.
    families
        To which family of each kind the image belongs, such as ``{"light": "overcast"}``, so that
        whole families can be held out; None for photos.
    spike
        Which spike it shows, in the user's own words: photos of the same name show the same spike.
        None when the photo stands for a spike of its own.
    marked_by, marked_at
        Who marked it by hand, and when last, with time zone; None where nobody did.
    """

    image: str
    width: int
    height: int
    anthers: tuple[TrueAnther, ...]
    complete: bool = True
    florets: tuple[TrueFloret, ...] | None = None
    verdict: Verdict | None = None
    problems: tuple[QualityProblem, ...] | None = None
    px_per_mm: float | None = None
    outline: tuple[Point, ...] | None = None
    axis: tuple[Point, ...] | None = None
    families: Mapping[str, str] | None = None
    spike: str | None = None
    marked_by: str | None = None
    marked_at: datetime | None = None
