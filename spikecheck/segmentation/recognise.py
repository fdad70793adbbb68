"""Whether a body is a spike: by its cut openings, or by its rows of spikelets."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.segmentation.edge_blur import edge_blur_px
from spikecheck.segmentation.florets import FloretPlace, floret_places
from spikecheck.segmentation.spikelets import SpikeletRows, spikelet_rows, unclipped_places

if TYPE_CHECKING:
    from spikecheck.segmentation.locate import LocatedSpike
    from spikecheck.segmentation.openings import Opening, RimCandidates
    from spikecheck.thresholds import SegmentationThresholds


@dataclass(frozen=True, slots=True, eq=False)
class RecognisedFlorets:
    """Florets in the strip, and what they were recognised by: openings, rows, or neither.

    Parameters
    ----------
    places
        The florets; none on a body too blurred or too small to show any.
    sure
        The openings that are sure, when they were recognised by openings.
    rows
        The rows of spikelets, when they were recognised by those.
    """

    places: tuple[FloretPlace, ...] = ()
    sure: tuple[Opening, ...] = ()
    rows: SpikeletRows | None = None


def recognise_florets(
    openings: tuple[Opening, ...],
    candidates: RimCandidates | None,
    located: LocatedSpike,
    *,
    thresholds: SegmentationThresholds,
) -> RecognisedFlorets | None:
    """Recognise the florets of a body; None when it is no spike.

    Parameters
    ----------
    openings
        Sure and doubtful openings.
    candidates
        What they were chosen from, or None.
    located
        The body.
    thresholds
        What makes a body a spike, and what is too blurred or too small to show it.
    """
    t, strip = thresholds, located.strip
    certain = sum(opening.log_odds >= t.certain_log_odds for opening in openings)
    if candidates and certain >= t.openings_least:
        return RecognisedFlorets(
            places=floret_places(openings, strip, candidates.darkness, thresholds=t),
            sure=tuple(each for each in openings if each.log_odds >= t.opening_log_odds),
        )
    rows = spikelet_rows(located.lab, strip, thresholds=t)
    if rows.strength >= t.spikelet_strength:
        places = unclipped_places(rows, strip, offset_px=t.unclipped_offset_px)
        return RecognisedFlorets(places=places, rows=rows)
    return RecognisedFlorets() if _unreadable(located, thresholds=t) else None


def slenderness(located: LocatedSpike) -> float:
    """Return the squared length of the axis over the area of the outline."""
    length_px = float(np.linalg.norm(np.diff(located.axis, axis=0), axis=1).sum())
    outline = np.ascontiguousarray(located.outline[:, ::-1], dtype=np.float32)
    return length_px**2 / max(cv2.contourArea(outline), 1.0)


def _unreadable(located: LocatedSpike, *, thresholds: SegmentationThresholds) -> bool:
    """Tell whether a whole body is too blurred or too small to show what it is."""
    return not located.cut_off and (
        located.width_px < thresholds.readable_width_px
        or edge_blur_px(located.lab) > thresholds.blurred_edge_px
    )
